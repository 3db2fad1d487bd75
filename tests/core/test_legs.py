"""From a job's sum to the movements of the book: all that was drawn arrives, and no can gives more than it has."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from compliance.core.legs import CanBook, CylinderIn, legs_for
from compliance.core.reconcile import ChargeFacts, reconcile
from inventory.core.ledger import Leg, Purpose, balances
from shop.core.mass import ZERO, Mass, grams, total
from tests.core.rows import rows_of
from tests.core.worked_jobs import facts_of

ROWS = [row for row in rows_of("reconciliation_cases.csv") if row["out"] not in ("0 g", "4 g")]


def books(facts: ChargeFacts, emptied: bool) -> list[CanBook]:
    return [CanBook(can.code, can.book, emptied) for can in facts.cans]


def posted(legs: tuple[Leg, ...], cans: list[CanBook]) -> dict[str, Mass]:
    """The balances after the movements, in their order; fails when a can is short on the way."""
    held = {can.code: can.book for can in cans}
    for leg in legs:
        for place, change in balances([leg]).items():
            held[place] = held.get(place, ZERO) + change
        if leg.source.startswith("K-"):
            assert held[leg.source] >= ZERO, leg
    return held


@given(st.sampled_from(ROWS), st.booleans())
def test_a_worked_job_moves_what_its_sum_says(row: dict[str, str], emptied: bool) -> None:
    facts = facts_of(row)
    sums, cans = reconcile(facts), books(facts, emptied)
    back = [CylinderIn("RC-02", facts.losses.recovered_back, back=True)]
    legs = legs_for(sums, cans, back)
    held = posted(legs, cans)
    assert held.get("vehicles", ZERO) == sums.vehicle
    assert held.get("hoses", ZERO) == facts.losses.hoses
    assert held.get("RC-02", ZERO) == facts.losses.recovered_back
    assert held.get("air", ZERO) == facts.losses.purge + facts.losses.released
    assert total(held.values()) == total(can.book for can in cans)
    if emptied:
        assert all(held[draw.code] == max(draw.heel, ZERO) for draw in sums.draws)


def test_frost_on_a_can_that_gave_nothing_moves_nothing() -> None:
    facts = facts_of({row["case"]: row for row in ROWS}["frost on an unused can"])
    legs = legs_for(reconcile(facts), books(facts, emptied=False), [])
    assert "K-0312" not in {leg.source for leg in legs}
    assert balances(legs)["vehicles"] == grams(332)


def test_what_came_out_of_the_car_is_moved_even_when_nothing_was_charged() -> None:
    recovered = CylinderIn("RC-02", grams(210), back=False)
    assert legs_for(None, [], [recovered, CylinderIn("RC-02", ZERO, back=False)]) == (
        Leg("vehicles", "RC-02", grams(210), Purpose.RECOVERED),
    )


@given(st.sampled_from(ROWS), st.integers(1, 50))
def test_what_was_recovered_back_has_to_be_in_a_cylinder(row: dict[str, str], more: int) -> None:
    facts = facts_of(row)
    assume(facts.losses.recovered_back == ZERO)
    cylinder = CylinderIn("RC-02", grams(more), back=True)
    with pytest.raises(ValueError, match="not what went somewhere"):
        legs_for(reconcile(facts), books(facts, emptied=False), [cylinder])
