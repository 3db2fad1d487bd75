"""The last day of a record, and what still keeps one that is past it."""

from __future__ import annotations

from datetime import date

import pytest

from compliance.core.federal.keeping import last_kept, may_be_purged
from compliance.core.old import KEPT_AS, Keeps, Old, OldKind, by_kind
from compliance.core.packs.shapes import RECORDS


@pytest.mark.parametrize(
    ("anchor", "years", "last"),
    [  # 40 CFR 82.42(b)(4): three years at least; the day three years on is still inside them
        ("2023-06-10", 3, "2026-06-10"),
        ("2023-11-25", 3, "2026-11-25"),
        ("2024-02-29", 3, "2027-02-28"),  # there is no February 29, 2027; free from March 1
        ("2024-02-29", 4, "2028-02-29"),
        ("2023-12-31", 3, "2026-12-31"),
        ("2021-06-10", 5, "2026-06-10"),  # 17 CCR 95369: five years for who sells small cans
    ],
)
def test_a_record_is_kept_through_its_last_day_and_past_its_time_on_the_next(
    anchor: str, years: int, last: str
) -> None:
    began, end = date.fromisoformat(anchor), date.fromisoformat(last)
    assert last_kept(began, years) == end
    assert not may_be_purged(began, end, years)
    assert may_be_purged(began, date.fromordinal(end.toordinal() + 1), years)


def test_every_kind_has_years_that_a_pack_may_ask_for_but_statements_which_the_shop_keeps() -> None:
    assert {kind for kind in OldKind if KEPT_AS[kind] not in RECORDS} == {OldKind.STATEMENT}


def test_a_hold_is_said_before_a_need_and_only_what_nothing_keeps_is_free() -> None:
    day = date(2020, 3, 4)
    rows = [
        Old(OldKind.CARD, 1, "A", day, day, held=True, needed_by="a job"),
        Old(OldKind.CARD, 2, "B", day, day, needed_by="a job"),
        Old(OldKind.CARD, 3, "C", day, day, archived=True),
        Old(OldKind.CARD, 4, "D", day, day),
    ]
    assert [one.keeps for one in rows] == [Keeps.HOLD, Keeps.NEEDED, Keeps.NOTHING, Keeps.NOTHING]
    line = next(one for one in by_kind(rows) if one.kind == OldKind.CARD)
    assert (line.past, line.held, line.needed, line.free, line.archived) == (4, 1, 1, 2, 1)
    assert [one.past for one in by_kind(rows) if one.kind != OldKind.CARD] == [0] * 6
