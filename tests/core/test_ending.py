"""An empty can thrown away: worked by hand, in grams."""

from __future__ import annotations

import pytest

from inventory.core.ending import disposal_legs, heel_of
from inventory.core.ledger import balances
from shop.core.mass import grams

SPREAD = grams(4)


@pytest.mark.parametrize(
    ("book", "heel", "moved"),
    [
        ("0", "0", []),
        ("3", "2", [("K-0001", "fill difference", "3", "fill")]),  # 2 g cannot be told from its shell
        ("0", "2", []),
        ("9", "9", [("K-0001", "air", "9", "released")]),
        ("12", "9", [("K-0001", "air", "9", "released"), ("K-0001", "fill difference", "3", "fill")]),
        ("5", "9", [("fill difference", "K-0001", "4", "fill"), ("K-0001", "air", "9", "released")]),
    ],
)
def test_a_disposed_can_ends_with_nothing_in_its_book(
    book: str, heel: str, moved: list[tuple[str, str, str, str]]
) -> None:
    legs = disposal_legs("K-0001", book=grams(book), heel=grams(heel), spread=SPREAD)

    assert legs == tuple(
        type(leg)(source, target, grams(mass), leg.purpose)
        for leg, (source, target, mass, purpose) in zip(legs, moved, strict=True)
        if leg.purpose == purpose
    )
    assert balances(legs).get("K-0001", grams(0)) == -grams(book)


def test_a_shell_lighter_than_its_kind_holds_no_heel() -> None:
    assert heel_of(grams(124), grams(126)) == grams(0)
    assert heel_of(grams(135), grams(126)) == grams(9)
