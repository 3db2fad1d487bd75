"""Mass: whole micrograms, exact sums, and no number that can be mistaken for another."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.mass import ZERO, Mass, Unit, grams, ounces, total

masses = st.integers(-(10**12), 10**12).map(Mass)


def test_a_float_is_no_mass() -> None:
    with pytest.raises(TypeError, match="whole micrograms"):
        Mass(466.0)  # type: ignore[arg-type]


def test_a_mass_is_neither_true_nor_false() -> None:
    with pytest.raises(TypeError, match="Say what is meant"):
        bool(ZERO)


def test_a_thousand_tenths_of_an_ounce_are_off_by_less_than_half_a_milligram() -> None:
    # 1000 x 0.1 oz = 2834.9523125 g; each is stored 0.3125 ug short, worked by hand
    assert total([ounces("0.1")] * 1000) == grams("2834.952")
    assert ounces(100) - total([ounces("0.1")] * 1000) == Mass(312)


def test_half_a_microgram_is_rounded_to_the_even_one() -> None:
    # 12 oz = 340194277.5 ug and 4 oz = 113398092.5 ug, worked by hand
    assert ounces(12) == Mass(340_194_278)
    assert ounces(4) == Mass(113_398_092)
    assert ounces(12) * 2 == Mass(680_388_556)


@given(st.lists(masses))
def test_the_order_of_a_sum_does_not_matter(some: list[Mass]) -> None:
    assert total(some) == total(sorted(some)) == -total(-one for one in some)


@given(masses, masses)
def test_what_is_added_can_be_taken_away(one: Mass, other: Mass) -> None:
    assert one + other - other == one
    assert abs(one - other) == abs(other - one)


@given(st.integers(0, 10**7))
def test_ounces_to_a_hundredth_survive_storage(hundredths: int) -> None:
    value = Decimal(hundredths) / 100
    assert ounces(value).rounded(Unit.OZ, 2) == value


@given(st.sampled_from([Unit.G, Unit.KG, Unit.OZ, Unit.LB]), st.integers(0, 10**6))
def test_a_stored_mass_is_within_half_a_microgram_of_what_was_read(unit: Unit, thousandths: int) -> None:
    value = Decimal(thousandths) / 1000
    ug_per_unit = Mass.of(1_000_000, unit).to(Unit.G)  # grams in a million units are micrograms in one
    assert abs(Decimal(Mass.of(value, unit).ug) - value * ug_per_unit) <= Decimal("0.5")
