"""A period's account, against periods worked by hand (fixtures/period_cases.csv): the book says what the sum says."""

from __future__ import annotations

import pytest

from inventory.core.ledger import Leg, Purpose, balances
from shop.core.mass import ZERO, Mass, total
from tests.core.rows import mass_of, rows_of

ROWS = {row["period"]: row for row in rows_of("period_cases.csv")}
SHELF = "shelf"
IN = {
    "opening": ("before the book", Purpose.OPENING),
    "received": ("supplier", Purpose.RECEIVED),
    "fill": ("fill difference", Purpose.FILL),
}
OUT = {
    "vehicles": ("vehicles", Purpose.CHARGED),
    "hoses": ("hoses", Purpose.HOSES),
    "returned": ("supplier", Purpose.RETURNED),
    "refused later": ("supplier", Purpose.DAMAGED),
    "heels": ("RC-02", Purpose.HEEL),
    "released": ("air", Purpose.RELEASED),
}
by_hand = pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))
Row = dict[str, str]


def legs_of(row: Row) -> list[Leg]:
    """The period's movements into and out of the shelf, one for each column that is not nothing."""
    into = [_leg(place, SHELF, mass_of(row[column]), why) for column, (place, why) in IN.items()]
    out = [_leg(SHELF, place, mass_of(row[column]), why) for column, (place, why) in OUT.items()]
    return [leg for leg in (*into, *out) if leg is not None]


def _leg(source: str, target: str, mass: Mass, purpose: Purpose) -> Leg | None:
    if mass < ZERO:
        return Leg(target, source, -mass, purpose)
    return Leg(source, target, mass, purpose) if mass > ZERO else None


def rounding(row: Row) -> Mass:
    """Masses in ounces are stored to the microgram each."""
    return Mass(len(IN) + len(OUT) + 1) if row["opening"].endswith("oz") else ZERO


@by_hand
def test_the_book_expects_what_the_sum_says(row: Row) -> None:
    expected = balances(legs_of(row))[SHELF]
    assert abs(expected - mass_of(row["expected"])) <= rounding(row)


@by_hand
def test_the_difference_is_what_was_counted_less_what_was_expected(row: Row) -> None:
    difference = mass_of(row["counted"]) - balances(legs_of(row))[SHELF]
    assert abs(difference - mass_of(row["difference"])) <= rounding(row)


@by_hand
def test_a_count_brings_the_shelf_to_what_was_found(row: Row) -> None:
    legs = legs_of(row)
    found = _leg("unexplained", SHELF, mass_of(row["counted"]) - balances(legs)[SHELF], Purpose.COUNTED)
    counted = [*legs, found] if found is not None else legs
    assert balances(counted)[SHELF] == mass_of(row["counted"])
    assert total(balances(counted).values()) == ZERO


def test_the_sample_report_expects_5841_g() -> None:
    assert balances(legs_of(ROWS["R-134a, second quarter"]))[SHELF] == mass_of("5841 g")
