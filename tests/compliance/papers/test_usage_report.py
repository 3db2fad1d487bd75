"""The usage report adds up on its face, and says what is unknown."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.paper import Bar, Bars, Paper, Table, Ticket
from compliance.core.usage_report import usage_report
from compliance.core.usage_report_facts import JobLine, LotLine, NewRefrigerant, UsageReportFacts
from tests.compliance.papers.reading import figure, pages, text
from tests.compliance.papers.sample import G, draft_facts, usage_report_facts


def table(paper: Paper, title: str) -> Table:
    return next(block for block in paper.blocks if isinstance(block, Table) and block.title.startswith(title))


def column(shown: Table, place: int) -> dict[str, int]:
    """Row names and figures of one column of an account, as far as they are figures."""
    return {row[0]: figure(row[place]) for row in shown.rows if row[place] and row[place] != "unknown"}


def left_over(rows: dict[str, int]) -> int:
    """What the printed column does not close by: all rows above the line of what is expected, less that line."""
    names = list(rows)
    above = names[: next(place for place, name in enumerate(names) if name.startswith("="))]
    expected = next(value for name, value in rows.items() if name.startswith("="))
    return sum(-rows[name] if name.startswith("−") else rows[name] for name in above) - expected


def test_the_first_page_is_the_quarter_in_one_minute() -> None:
    first = pages(usage_report(usage_report_facts()))[0]

    assert "From Apr 1 to Jun 30 2026 the shop serviced 29 vehicles." in first
    assert (
        "R-134a: 10,946 g (386.1 oz) into 22 vehicles, 4,212 g recovered in 18 jobs, 5,900 g shipped, 95 g purged or"
        " released and recorded, 35 g unexplained (0.2 %)."
    ) in first
    assert (
        "R-1234yf: 2,415 g (85.2 oz) into 5 vehicles, 1,105 g recovered in 4 jobs, 6 g unexplained" in first
    )
    assert "2 jobs were stopped and not charged. Counted on Mar 31 2026 and Jun 30 2026." in first


@pytest.mark.parametrize("title", ["New refrigerant", "Recovered refrigerant"])
@pytest.mark.parametrize("place", [1, 3])
def test_the_accounts_add_up_as_printed(title: str, place: int) -> None:
    rows = column(table(usage_report(usage_report_facts()), title), place)
    found = rows.get("Counted Jun\u00a030 2026", rows.get("Weighed Jun\u00a030 2026", 0))

    assert left_over(rows) == 0
    assert found - rows["= Expected Jun\u00a030 2026"] == rows["Difference"]


def test_the_cans_add_up_and_say_so_by_shape_and_word() -> None:
    cans = table(usage_report(usage_report_facts()), "New").rows[-1]

    assert cans[1:3] == ("18", "16\u00a0+\u00a035\u00a0−\u00a033; ■ as found")


def test_jobs_and_technicians_foot_to_the_account() -> None:
    paper = usage_report(usage_report_facts())
    jobs = table(paper, "Jobs, R-134a")
    charged = [figure(row[5]) for row in jobs.rows[:-1] if row[5] != "–"]
    technicians = {row[0]: figure(row[3]) for row in table(paper, "By technician").rows}

    assert sum(figure(row[3]) for row in jobs.rows[:-1]) == figure(jobs.rows[-1][3]) == 42_120
    assert sum(charged) == figure(jobs.rows[-1][5]) == technicians["All R-134a"] == 109_460
    assert jobs.notes == ()
    assert technicians["All R-1234yf"] == 24_150


def test_a_period_over_new_year_says_the_year_of_every_line() -> None:
    facts = replace(usage_report_facts(), first="2025-07-01")
    assert "From Jul 1 2025 to Jun 30 2026 the shop serviced" in text(usage_report(facts))
    for title, place in (("Jobs, R-134a", 0), ("Purchases", 0), ("Released", 0)):
        days = [row[place] for row in table(usage_report(facts), title).rows if row[place]]
        assert [day for day in days if not day.startswith("All")]
        assert all(day.endswith(" 2026") for day in days if not day.startswith("All")), title


def test_purchases_foot_to_what_was_received() -> None:
    bought = table(usage_report(usage_report_facts()), "Purchases")

    assert (
        sum(figure(row[6]) for row in bought.rows[:-1]) == figure(bought.rows[-1][6]) == 10 * (11_900 + 2724)
    )
    assert sum(int(row[5]) for row in bought.rows[:-1]) == int(bought.rows[-1][5]) == 47


def test_releases_foot_to_the_account() -> None:
    assert [row[3] for row in table(usage_report(usage_report_facts()), "Released").rows] == [
        "70",
        "25",
        "95",
    ]


def test_lists_that_do_not_come_to_the_account_say_so() -> None:
    facts = usage_report_facts()
    jobs = table(usage_report(replace(facts, jobs=facts.jobs[1:])), "Jobs, R-134a")

    assert "▲ Look: charges come to 10,443\u00a0g here and to 10,946\u00a0g in the account." in jobs.notes


def test_a_purge_is_named_where_the_releases_do_not_come_to_the_account() -> None:
    facts = usage_report_facts()
    released = table(usage_report(replace(facts, releases=facts.releases[:1])), "Released")

    assert released.notes == ("R-134a: 25\u00a0g more in the account was purged from hoses.",)


def test_a_draft_is_marked_and_says_what_is_open() -> None:
    paper = usage_report(draft_facts())
    shown = pages(paper)

    assert all("DRAFT – not signed" in page and "no number yet" in page for page in shown)
    assert "J26-0199 of Jun 29 is still open." in shown[0]
    assert "not counted on the last day, so the difference is unknown" in shown[0]
    assert "Not signed: this is a draft." in text(paper)
    assert "Check this paper" not in shown[0]


def test_a_signed_report_carries_its_signature() -> None:
    said = text(usage_report(usage_report_facts()))

    assert "Marta Quill, owner, signed on as marta, Jul 14 2026, 4:10 pm" in said
    assert "DRAFT" not in said
    assert "exceptions are listed under Quality of the numbers" in said


def test_the_four_closures_stand_side_by_side() -> None:
    rows = table(usage_report(usage_report_facts()), "Four closures").rows

    assert [row[0].split(":")[0] for row in rows[:4]] == ["Count", "Shelf", "Can", "Job"]
    assert rows[1][2:5] == ("19", "−11.0", "2.5")
    assert rows[5][2:5] == ("0", "–", "–")


def test_three_refrigerants_share_a_table_and_four_do_not() -> None:
    assert [len(block.columns) for block in _accounts(_with(1))] == [7, 5]
    assert [len(block.columns) for block in _accounts(_with(2))] == [3, 3, 3, 3, 5]


def _with(more: int) -> UsageReportFacts:
    facts = usage_report_facts()
    return replace(
        facts, new=facts.new + tuple(replace(facts.new[1], refrigerant=f"R-{n}") for n in range(more))
    )


def _accounts(facts: UsageReportFacts) -> list[Table]:
    blocks = usage_report(facts).blocks
    return [one for one in blocks if isinstance(one, Table) and "refrigerant, in" in one.title]


def test_a_period_in_which_nothing_happened_makes_a_paper() -> None:
    facts = usage_report_facts()
    empty = replace(
        facts,
        new=(),
        recovered=(),
        releases=(),
        jobs=(),
        technicians=(),
        purchases=(),
        closures=(),
        counts=(),
    )
    paper = usage_report(empty)

    assert "No release was recorded in this period." in text(paper)
    assert not any(isinstance(block, Ticket) for block in paper.blocks)


def test_an_account_that_does_not_hold_makes_no_paper() -> None:
    facts = usage_report_facts()
    wrong = replace(facts.new[0], expected_ug=5842 * G)

    with pytest.raises(ValueError, match="R-134a in cans"):
        usage_report(replace(facts, new=(wrong, facts.new[1])))


AMOUNT = st.integers(0, 9_000 * G)


@given(
    opening=AMOUNT, received=AMOUNT, fill=st.integers(-300 * G, 300 * G), charges=st.lists(AMOUNT, max_size=8)
)
def test_whatever_the_readings_the_printed_columns_add_up(
    opening: int, received: int, fill: int, charges: list[int]
) -> None:
    vehicles = sum(charges)
    expected = opening + received + fill - vehicles - 7_654_321
    can = replace(
        _idle(usage_report_facts().new[0]),
        opening_ug=opening,
        received_ug=received,
        fill_ug=fill,
        vehicles_ug=vehicles,
        hoses_ug=7_654_321,
        expected_ug=expected,
        counted_ug=expected + 1_234_567,
        difference_ug=1_234_567,
    )
    lines = tuple(_charged(one) for one in charges)
    facts = replace(usage_report_facts(), new=(can,), recovered=(), releases=(), purchases=(), jobs=lines)
    paper = usage_report(facts)
    rows = column(table(paper, "New"), 1)

    assert left_over(rows) == 0
    assert rows["Counted Jun\u00a030 2026"] - rows["= Expected Jun\u00a030 2026"] == rows["Difference"]
    if charges:
        jobs = table(paper, "Jobs")
        assert (
            sum(figure(row[5]) for row in jobs.rows[:-1])
            == figure(jobs.rows[-1][5])
            == rows["− Into vehicles"]
        )
        assert jobs.notes == ()


def _idle(one: NewRefrigerant) -> NewRefrigerant:
    return replace(one, heels_ug=0, released_ug=0, recovered_back_ug=0, returned_ug=0)


def _charged(ug: int) -> JobLine:
    return replace(usage_report_facts().jobs[0], charged_ug=ug, recovered_ug=0, deviation_ug=None)


# --- To look at, and by lot


def bars_of(paper: Paper) -> list[Bars]:
    return [block for block in paper.blocks if isinstance(block, Bars)]


def test_a_quarter_is_drawn_month_by_month_and_foots_to_the_account() -> None:
    facts = usage_report_facts()
    paper = usage_report(facts)
    (drawn, _other) = bars_of(paper)
    into = [bar.amount for bar in drawn.bars if bar.solid]
    out = [bar.amount for bar in drawn.bars if not bar.solid]

    assert drawn.title == "R-134a by month"
    assert [bar.name for bar in drawn.bars][:2] == [
        "Apr\N{NO-BREAK SPACE}2026, in",
        "Apr\N{NO-BREAK SPACE}2026, out",
    ]
    assert sum(into) == sum(line.charged_ug or 0 for line in facts.jobs if line.refrigerant == "R-134a")
    assert sum(out) == sum(line.recovered_ug for line in facts.jobs if line.refrigerant == "R-134a")
    assert max(long for _, long in drawn.drawn) == 1000
    assert all(bar.figure.replace("\N{NO-BREAK SPACE}", " ") in text(paper) for bar in drawn.bars)


def test_a_chart_that_goes_on_has_its_heading_on_each_page() -> None:
    bars = tuple(Bar(f"month {number}", number, f"{number} g") for number in range(1, 90))
    paper = replace(usage_report(usage_report_facts()), blocks=(Bars("R-134a by month", bars),))
    shown = pages(paper)
    assert len(shown) == 3
    assert all(page.count("R-134a by month") == 1 for page in shown)


def test_one_month_is_a_figure_and_no_chart() -> None:
    facts = usage_report_facts()
    june = replace(facts, first="2026-06-01", last="2026-06-30")
    assert bars_of(usage_report(june)) == []


def test_a_month_in_which_nothing_was_done_stands_there_empty() -> None:
    facts = usage_report_facts()
    paper = usage_report(replace(facts, first="2026-03-01"))
    assert [bar.figure for bar in bars_of(paper)[0].bars][:2] == ["0\N{NO-BREAK SPACE}g"] * 2


def test_what_came_out_of_a_lot_is_told_lot_by_lot() -> None:
    lots = (
        LotLine("R-134a", "", 1, 1, 10_000_000),
        LotLine("R-134a", "L24B-07", 3, 2, 683_600_000),
        LotLine("R-1234yf", "C26A", 2, 1, 420_000_000),
    )
    shown = table(usage_report(replace(usage_report_facts(), lots=lots)), "By lot, out of cans")
    assert next(row[1:] for row in shown.rows if row[0] == "R-134a") == ("no lot", "1", "1", "10")
    assert [row[-1] for row in shown.rows if row[0] == "All R-134a"] == [
        "694"
    ]  # 10 + 683.6, whole grams as printed
