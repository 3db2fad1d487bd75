"""Low stock, from use that was worked out by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from inventory.core.stock import Stock, cans_used
from shop.core.mass import ZERO, Mass, grams


def test_use_is_counted_in_cans_of_their_own_size() -> None:
    # 5,440 g of 340-g cans are 16 cans; 454 g of 227-g cans are 2: 18 in eight weeks.
    used = [(grams(5440), grams(340)), (grams(454), grams(227))]

    assert cans_used(used, 8) == Fraction(18, 8)


@pytest.mark.parametrize(("weeks", "per_week"), [(0, 16), (1, 16), (4, 4), (8, 2), (40, 2)])
def test_a_young_book_is_not_stretched_over_eight_weeks(weeks: int, per_week: int) -> None:
    assert cans_used([(grams(5440), grams(340))], weeks) == per_week


def test_what_a_reversal_brought_back_is_no_use_below_nothing() -> None:
    assert cans_used([(Mass(-5), grams(340)), (ZERO, grams(227))], 8) == 0


@pytest.mark.parametrize(
    ("full", "per_week", "low"),
    [
        (4, Fraction(2), True),
        (5, Fraction(2), False),
        (0, Fraction(1, 8), True),
        (1, Fraction(1, 8), False),
        (0, Fraction(0), False),
    ],
)
def test_two_usual_weeks_are_enough(full: int, per_week: Fraction, low: bool) -> None:
    assert Stock("R-1234yf", full, per_week).is_low is low


@pytest.mark.parametrize(
    ("per_week", "said"), [(Fraction(2), "2"), (Fraction(3, 2), "1.5"), (Fraction(1, 30), "fewer than 0.1")]
)
def test_a_usual_week_is_said_in_tenths(per_week: Fraction, said: str) -> None:
    assert Stock("R-134a", 1, per_week).usual == said
