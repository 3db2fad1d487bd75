"""The charge sum of a job, against jobs worked by hand (fixtures/reconciliation_cases.csv)."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.reconcile import CanWeights, ChargeFacts, Losses, Reconciliation, reconcile
from inventory.core.weighing import CanKind, Origin, Style, Ticket
from shop.core.decision import Verdict
from shop.core.findings import Weight
from shop.core.mass import ZERO, Mass, Reading, Unit, grams
from tests.core.rows import mass_of, rows_of
from tests.core.worked_jobs import Row, facts_of

ROWS = {row["case"]: row for row in rows_of("reconciliation_cases.csv")}
by_hand = pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))


def same(found: Mass, by_hand: str, row: Row) -> bool:
    """Equal to the figure worked by hand. Each reading in ounces is stored to the microgram: allow one for each."""
    readings = 2 * len(row["cans"].split(";")) + 1
    return abs(found.ug - mass_of(by_hand).ug) <= (readings if row["unit"].startswith(("oz", "lb")) else 0)


@by_hand
def test_what_left_the_cans_and_what_reached_the_vehicle(row: Row) -> None:
    sums = reconcile(facts_of(row))
    assert same(sums.cans_out, row["out"], row)
    assert same(sums.vehicle, row["into_vehicle"], row)
    heels = [one.strip() for one in row["heels"].split(";") if one.strip()]
    assert [same(draw.heel, heel, row) for draw, heel in zip(sums.draws, heels, strict=True)] == [True] * len(
        heels
    )


@by_hand
def test_the_verdict_and_what_it_rests_on(row: Row) -> None:
    sums = reconcile(facts_of(row))
    assert sums.verdict.value == row["verdict"]
    if row["deviation"]:
        assert sums.deviation is not None
        assert same(sums.deviation, row["deviation"], row)
    else:
        assert (sums.deviation, sums.probability) == (None, None)
    if row["give_or_take"]:
        assert sums.expanded_g == pytest.approx(mass_of(row["give_or_take"]).grams, abs=0.005)


@by_hand
def test_the_slips_that_are_seen(row: Row) -> None:
    found = reconcile(facts_of(row)).findings
    assert sorted(finding.code for finding in found) == sorted(row["findings"].split())


@by_hand
def test_what_left_the_cans_is_somewhere(row: Row) -> None:
    assert reconcile(facts_of(row)).balances


def test_the_rows_show_every_verdict_and_every_slip() -> None:
    codes = {code for row in ROWS.values() for code in row["findings"].split()}
    assert {row["verdict"] for row in ROWS.values()} == {verdict.value for verdict in Verdict}
    assert codes >= {
        "can-above-full", "can-below-shell", "can-gained", "can-lost-on-shelf", "digits-swapped",
        "fill-difference", "frost", "losses-exceed-draw", "missing-after", "more-than-held", "over-label",
        "sealed-light", "style-differs", "total-unknown", "unit-slip", "wrong-refrigerant",
    }  # fmt: skip


def worked(case: str) -> Reconciliation:
    return reconcile(facts_of(ROWS[case]))


def test_everything_at_its_limit_at_once() -> None:
    # The ordinary job by hand: four readings at 0.5, hoses 2, gain 0.509: 4.509 g
    assert worked("two cans").worst_g == pytest.approx(4.509, abs=1e-9)
    # Purge and hoses: 2, hoses 2, purge 1, gain 0.515: 5.515 g
    assert worked("purge and hoses").worst_g == pytest.approx(5.515, abs=1e-9)
    # Both ends from the label: 2 x (2 x 2 + 4), hoses 2, gain 0.34: 18.34 g
    assert worked("both from the label").worst_g == pytest.approx(18.34, abs=1e-9)
    # Recovered back: three readings' halves are 2, hoses 2, gain 0.533, and the cylinder's 1 g: 5.533
    assert worked("overshoot put right").worst_g == pytest.approx(5.533, abs=1e-3)


def test_repeatability_counts_once_for_each_reading() -> None:
    # u of the ordinary job is 1.3238 g (2.65/2); four readings that repeat to 0.5 g add 1.0: root of 1.3238^2 + 1
    facts = replace(facts_of(ROWS["two cans"]), repeatability_g=0.5)
    assert reconcile(facts).u_g == pytest.approx(math.hypot(1.3238, 1.0), abs=1e-3)


def test_a_heel_is_measured_only_on_a_bare_can_that_was_weighed() -> None:
    assert [draw.heel_measured for draw in worked("two cans").draws] == [True, True]
    assert [draw.heel_measured for draw in worked("both from the label").draws] == [False]
    assert [draw.heel_measured for draw in worked("tap on for both").draws] == [False]


def test_what_the_book_has_left_is_what_it_had_less_what_was_drawn() -> None:
    assert [draw.left for draw in worked("two cans").draws] == [grams(2), grams(169)]
    assert [draw.left for draw in worked("filled above its label").draws] == [grams(-2)]


@pytest.mark.parametrize(
    ("case", "weight", "says"),
    [
        ("overshoot", Weight.WARNS, "Over by 27 g. What next?"),
        (
            "more than the can held",
            Weight.BLOCKS,
            "K-0298 gave 150 g; the book had 100 g in it. That is 50 g too much",
        ),
        ("filled above its label", Weight.NOTE, "K-0311 gave 2.0 g more than the book had in it."),
        (
            "another refrigerant",
            Weight.BLOCKS,
            "K-0500 is R-1234yf; this car takes R-134a. Look at the can again.",
        ),
        ("no weight after", Weight.BLOCKS, "K-0311 has a weight before and none after. Weigh it."),
        ("losses above the draw", Weight.BLOCKS, "come to more than the cans gave. Check these numbers."),
        ("top-up", Weight.NOTE, "what the system holds in all is unknown."),
    ],
)
def test_a_slip_is_said_in_one_plain_sentence_or_two(case: str, weight: Weight, says: str) -> None:
    (finding,) = worked(case).findings
    assert finding.weight is weight
    assert says in finding.message


def test_a_slip_of_a_can_stands_beside_that_can() -> None:
    (finding,) = worked("one of two without a weight after").findings
    assert finding.field == "K-0312"


def test_a_microgram_of_rounding_is_no_fill_difference() -> None:
    (full,) = facts_of(ROWS["both from the label"]).cans
    facts = replace(facts_of(ROWS["both from the label"]), cans=(replace(full, book=full.book - Mass(1)),))
    assert reconcile(facts).findings == ()


def test_the_published_example_is_reproduced_to_the_milligram() -> None:
    # 515 dispensed, 511 net, u 1.445 g, U 2.890 g (computed)
    sums = worked("purge and hoses")
    assert (sums.cans_out, sums.vehicle) == (grams(515), grams(511))
    assert sums.u_g == pytest.approx(1.445, abs=0.001)
    assert sums.expanded_g == pytest.approx(2.890, abs=0.001)


def can(code: str, before: int, after: int) -> CanWeights:
    tickets = tuple(
        Ticket(Reading(str(one), Unit.G, grams(one)), grams(1), Style.BARE, Origin.WEIGHED)
        for one in (before, after)
    )
    return CanWeights(
        code, "", "R-134a", CanKind(grams(340), grams(126)), grams(340), True, tickets, None, False
    )


weights = st.integers(0, 2_000)
some_cans = st.lists(st.tuples(weights, weights), max_size=5).map(
    lambda pairs: tuple(can(f"K-{number:04d}", *pair) for number, pair in enumerate(pairs))
)
some_loss = st.integers(0, 10**9).map(Mass)
some_losses = st.builds(
    Losses,
    some_loss,
    st.floats(0, 30),
    some_loss,
    st.floats(0, 10),
    some_loss,
    some_loss,
    st.floats(0, 20),
)
maybe = st.one_of(st.none(), some_loss)
some_facts = st.builds(
    ChargeFacts,
    st.just("R-134a"),
    some_cans,
    some_losses,
    maybe,
    maybe,
    maybe,
    st.floats(0, 0.02),
    st.floats(0, 3),
    st.booleans(),
)


@given(some_facts)
def test_whatever_is_typed_the_sum_is_made_and_balances(facts: ChargeFacts) -> None:
    sums = reconcile(facts)
    assert sums.balances
    assert all(draw.out >= ZERO for draw in sums.draws)
    assert sums.expanded_g == 2 * sums.u_g


@given(some_facts)
def test_a_verdict_needs_a_label_a_tolerance_and_an_emptied_system(facts: ChargeFacts) -> None:
    known = None not in (facts.label, facts.tolerance_below, facts.tolerance_above)
    judged = reconcile(facts).verdict is not Verdict.NONE
    assert judged == (known and facts.recovered_first and bool(facts.cans))


@given(some_facts)
def test_a_can_that_gave_more_than_it_held_never_passes_unseen(facts: ChargeFacts) -> None:
    sums = reconcile(facts)
    blocked = {finding.field for finding in sums.findings if finding.blocks}
    assert {draw.code for draw in sums.draws if draw.out > grams(349)} <= blocked
    if facts.cans and sums.vehicle < ZERO:
        assert "hoses" in blocked
