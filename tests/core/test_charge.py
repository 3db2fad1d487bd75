"""The targets of a charge: never over, and by less than one division under."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.charge import cans_needed, leak_test_mass, stop_at
from shop.core.mass import ZERO, Mass, Reading, Unit, grams, ounces
from shop.core.reading import read_mass, step_of

SCALES = (
    (Unit.G, grams(1)),
    (Unit.G, grams(2)),
    (Unit.G, grams(5)),
    (Unit.G, grams("0.1")),
    (Unit.KG, grams(1)),
    (Unit.OZ, ounces("0.05")),
    (Unit.OZ, ounces("0.1")),
    (Unit.OZ, ounces("0.25")),
    (Unit.OZ, ounces("0.5")),
    (Unit.LB, Mass.of("0.005", Unit.LB)),
    (Unit.LB_OZ, ounces("0.1")),
)


def read(text: str, unit: Unit) -> Reading:
    reading, found = read_mass(text, unit)
    assert reading is not None, found
    return reading


@pytest.mark.parametrize(
    ("start", "unit", "wanted", "division", "stop"),
    [
        # Worked by hand. The second can of the ordinary job: 168 g to go.
        ("464", Unit.G, grams(168), grams(1), "296"),
        # 464 - 167.4 = 296.6, up to 297; on a 5 g scale up to 300
        ("464", Unit.G, grams("167.4"), grams(1), "297"),
        ("465", Unit.G, grams("167.4"), grams(5), "300"),
        # 1000 - 990 = 10
        ("1000", Unit.G, grams(990), grams(10), "10"),
        # 11.6 oz less 15 % of 20.0 oz
        ("11.6", Unit.OZ, ounces("3.0"), ounces("0.1"), "8.6"),
        # the last can of three: 4.0 oz to go from 11.5
        ("11.5", Unit.OZ, ounces("4.0"), ounces("0.1"), "7.5"),
        # 464.93 g - 168 g = 296.93 g = 10.474 oz
        ("16.4", Unit.OZ, grams(168), ounces("0.1"), "10.5"),
        ("16.40", Unit.OZ, grams(168), ounces("0.05"), "10.50"),
        ("16.4", Unit.OZ, grams(168), ounces("0.5"), "10.5"),
        # the same on a scale of pounds and ounces, and one that ends above a pound: 20.4 oz - 3.9 oz
        ("1 lb 0.4 oz", Unit.LB_OZ, grams(168), ounces("0.1"), "0 lb 10.5 oz"),
        ("1 lb 4.4 oz", Unit.LB_OZ, ounces("3.9"), ounces("0.1"), "1 lb 0.5 oz"),
        # 15.96 oz is a pound, not "0 lb 16.0 oz"
        ("1 lb 4.4 oz", Unit.LB_OZ, ounces("4.44"), ounces("0.1"), "1 lb 0.0 oz"),
        ("0.464", Unit.KG, grams(168), grams(1), "0.296"),
        # 1.025 lb = 464.93 g; 296.93 g = 0.65462 lb
        ("1.025", Unit.LB, grams(168), Mass.of("0.005", Unit.LB), "0.655"),
    ],
)
def test_the_stop_is_what_the_scale_will_show(
    start: str, unit: Unit, wanted: Mass, division: Mass, stop: str
) -> None:
    reading = stop_at(read(start, unit), wanted, division)
    assert reading is not None
    assert (reading.text, reading.unit) == (stop, unit)
    assert reading == read(stop, unit)


@pytest.mark.parametrize("wanted", ["464", "465", "9999"])
def test_a_can_cannot_be_asked_for_more_than_it_weighs(wanted: str) -> None:
    assert stop_at(read("464", Unit.G), grams(wanted), grams(1)) is None


@st.composite
def starts_and_wants(draw: st.DrawFn) -> tuple[Reading, Mass, Mass]:
    """A start that the scale can show, something less that is wanted, and the division."""
    unit, division = draw(st.sampled_from(SCALES))
    step = step_of(division, unit)
    number = step * draw(st.integers(1, int(900 / (division.ug / 1_000_000)) + 1))
    text = f"{int(number) // 16} lb {number % 16} oz" if unit is Unit.LB_OZ else f"{number:f}"
    start = read(text, unit)
    return start, Mass(draw(st.integers(0, start.mass.ug - 1))), division


@given(starts_and_wants())
def test_the_stop_never_overcharges_and_is_within_one_division(case: tuple[Reading, Mass, Mass]) -> None:
    start, wanted, division = case
    stop = stop_at(start, wanted, division)
    rounding = Mass(2)  # start, stop and division are each rounded to the microgram
    if stop is None:
        assert start.mass - wanted <= rounding
        return
    given_out = start.mass - stop.mass
    assert given_out <= wanted + rounding
    assert wanted - given_out < division + rounding


@given(starts_and_wants())
def test_the_stop_can_be_typed_back(case: tuple[Reading, Mass, Mass]) -> None:
    start, wanted, division = case
    stop = stop_at(start, wanted, division)
    if stop is not None:
        assert read_mass(str(stop), start.unit, division=division) == (stop, [])


@pytest.mark.parametrize(
    ("label", "grams_wanted"),
    [(400, "60.0"), (567, "85.05"), (680, "102.0")],
)
def test_fifteen_percent_of_the_label(label: int, grams_wanted: str) -> None:
    # common practice, no source; the figures by hand
    assert leak_test_mass(grams(label), Decimal("0.15")) == grams(grams_wanted)


def test_the_leak_test_charge_is_rounded_down() -> None:
    assert leak_test_mass(Mass(99), Decimal("0.15")) == Mass(14)


def test_a_heel_in_each_can_makes_it_one_can_more() -> None:
    # 24.1 / 7.85 = 3.07, worked by hand
    eight = ounces(8)
    assert cans_needed(ounces(24), net=eight, heel=ounces("0.15"), losses=ounces("0.1")) == 4
    assert cans_needed(ounces(24), net=eight, heel=ZERO, losses=ZERO) == 3


@pytest.mark.parametrize("target", [ZERO, grams(-27)])
def test_nothing_to_charge_needs_no_can(target: Mass) -> None:
    assert cans_needed(target, net=grams(340), heel=grams(4), losses=ZERO) == 0


def test_no_number_of_cans_is_enough_when_each_keeps_all() -> None:
    with pytest.raises(ValueError, match="gives nothing"):
        cans_needed(grams(500), net=grams(20), heel=grams(20), losses=ZERO)


@given(st.integers(0, 3_000), st.integers(21, 900), st.integers(0, 20), st.integers(0, 50))
def test_the_cans_needed_are_enough_and_not_one_too_many(
    target: int, net: int, heel: int, losses: int
) -> None:
    cans = cans_needed(grams(target), net=grams(net), heel=grams(heel), losses=grams(losses))
    assert (cans - 1) * (net - heel) < target + losses <= cans * (net - heel)
