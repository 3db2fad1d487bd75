"""A can that gives vapour: chill, stall, warming. The reference library checks the energy balance from outside."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import CoolProp.CoolProp as reference  # noqa: N813 - the library's own name
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from inventory.core.can import (
    CAN_LIMIT,
    STEEL_HEAT,
    WARMEST_WATER,
    FlowJob,
    SmallCan,
    chilled,
    cold_wet,
    flow,
    flow_problems,
    heat_needed,
    kept_warm,
    small_can,
    unheated,
    vapour_held,
    water_cools,
)
from inventory.core.can_words import LeakTestFlow, flow_answer, stall_hint
from inventory.core.properties import COLDEST, FLUIDS, HOTTEST
from shop.core.findings import Weight
from shop.core.gauge import ATMOSPHERE, PSI, celsius
from shop.core.mass import grams, ounces

NAMES = {"R-1234yf": "R1234yf", "R-134a": "R134a", "R-152a": "R152A"}  # CoolProp 8.0.0, pinned
FLUID = st.sampled_from(sorted(FLUIDS))
DEGREES = st.floats(-10, 50)
CAN_8 = SmallCan("R-1234yf", ounces(8).grams / 1000, 0.085, 255e-6)
CAN_12 = SmallCan("R-134a", ounces(12).grams / 1000, 0.110, 347e-6)
LEAK_TEST = 0.08505  # kg, 15 % of 20.0 oz


@cache
def state(code: str) -> reference.AbstractState:
    return reference.AbstractState("HEOS", NAMES[code])


def saturated_liquid(code: str, kelvin: float) -> float:
    at = state(code)
    at.update(reference.QT_INPUTS, 0, kelvin)
    enthalpy: float = at.hmass()
    return enthalpy


@given(FLUID, st.floats(COLDEST, HOTTEST))
def test_the_liquids_enthalpy_keeps_within_20_joules_a_kilogram(code: str, kelvin: float) -> None:
    expected = saturated_liquid(code, kelvin) - saturated_liquid(code, celsius(0))
    assert FLUIDS[code].liquid_enthalpy(kelvin) == pytest.approx(expected, abs=20)


@given(FLUID, st.floats(COLDEST, HOTTEST))
def test_the_liquids_heat_capacity_keeps_within_0_2_percent(code: str, kelvin: float) -> None:
    around = saturated_liquid(code, kelvin + 0.02) - saturated_liquid(code, kelvin - 0.02)
    assert FLUIDS[code].liquid_heat_capacity(kelvin) == pytest.approx(around / 0.04, rel=2e-3)


def energy(code: str, can: SmallCan, mass: float, kelvin: float) -> float:
    """J in fluid and steel, by the reference library."""
    at = state(code)
    at.update(reference.DmassT_INPUTS, mass / can.volume, kelvin)
    return float(at.umass() * mass + STEEL_HEAT * can.steel * kelvin)


@pytest.mark.parametrize(("can", "drawn"), [(CAN_8, 0.040), (CAN_8, 0.060), (CAN_12, 0.060)])
def test_what_the_vapour_carries_away_is_what_the_can_loses(can: SmallCan, drawn: float) -> None:
    """The first law over the whole draw, with the reference's own energies: 400 small steps of vapour leave."""
    kelvin, code = celsius(20), can.refrigerant
    cold = chilled(can, kelvin, drawn)
    assert cold is not None
    carried, steps = 0.0, 400
    for place in range(steps):
        here = chilled(can, kelvin, drawn * (place + 0.5) / steps)
        assert here is not None
        at = state(code)
        at.update(reference.QT_INPUTS, 1, here)
        carried += at.hmass() * drawn / steps
    lost = energy(code, can, can.net, kelvin) - energy(code, can, can.net - drawn, cold)
    # what 1 % of the steel's and the liquid's cooling is worth, in J
    assert carried == pytest.approx(lost, abs=0.01 * heat_needed(code, drawn, kelvin))


# The table of the published method's worked figures: 2.5 L, can and system both at T (C): g with heat, g without, can C
@pytest.mark.parametrize(
    ("can", "degrees", "warm", "cold", "ends"),
    [
        (CAN_8, 10, 60.6, 32.4, -6.9),
        (CAN_8, 20, 81.9, 40.0, -0.2),
        (CAN_8, 30, 109.2, 48.4, 6.4),
        (CAN_12, 10, 50.6, 31.2, -2.5),
        (CAN_12, 20, 69.5, 39.4, 4.8),
        (CAN_12, 30, 93.8, 49.0, 11.7),
    ],
)
def test_a_can_that_gets_no_heat_stalls_at_half_of_what_a_warm_one_gives(
    can: SmallCan, degrees: float, warm: float, cold: float, ends: float
) -> None:
    kelvin = celsius(degrees)
    bound, stall = kept_warm(can, kelvin, kelvin, 0.0025), unheated(can, kelvin, kelvin, 0.0025)
    assert bound is not None
    assert stall is not None
    assert 1000 * bound.drawn == pytest.approx(warm, rel=3e-3)
    assert 1000 * stall.drawn == pytest.approx(cold, abs=0.5)
    assert stall.kelvin == pytest.approx(celsius(ends), abs=0.5)


@given(FLUID, DEGREES, DEGREES, st.floats(0.0008, 0.008), st.floats(0.085, 0.45))
def test_heat_never_makes_a_can_give_less(
    code: str, can_at: float, system_at: float, volume: float, net: float
) -> None:
    can = small_can(code, net)
    bound = kept_warm(can, celsius(can_at), celsius(system_at), volume)
    stall = unheated(can, celsius(can_at), celsius(system_at), volume)
    if bound is None:
        return
    assert bound.drawn < can.net
    assert stall is not None
    assert 0 < stall.drawn <= bound.drawn * 1.001
    assert stall.kelvin <= celsius(can_at)


@given(FLUID, st.floats(-5, 50), st.floats(0.085, 0.45), st.floats(0.001, 0.06), st.floats(0.001, 0.02))
def test_the_more_is_drawn_the_colder_the_can(
    code: str, degrees: float, net: float, less: float, more: float
) -> None:
    can, kelvin = small_can(code, net), celsius(degrees)
    first, then = chilled(can, kelvin, less), chilled(can, kelvin, less + more)
    assume(first is not None and then is not None)
    assert then < first < kelvin  # type: ignore[operator]


@given(FLUID, st.floats(0.085, 0.45))
def test_a_can_that_would_have_to_give_more_than_its_liquid_has_no_temperature(code: str, net: float) -> None:
    assert chilled(small_can(code, net), celsius(20), net) is None


@given(FLUID, st.floats(-30, 70), st.floats(-1e5, 6e6))
def test_vapour_held_is_never_more_than_saturated_and_unknown_outside_its_range(
    code: str, degrees: float, pascal: float
) -> None:
    held = vapour_held(code, 255e-6, celsius(degrees), pascal)
    if held is None:
        assert pascal < 0 or not celsius(-20) <= celsius(degrees) <= celsius(60)
    else:
        assert 0 <= held <= 255e-6 * FLUIDS[code].vapour_density(celsius(degrees)) * 1.000001


def test_a_can_warmer_than_the_system_does_not_stall_while_it_is_kept_warm() -> None:
    assert kept_warm(CAN_8, celsius(40), celsius(20), 0.0025) is None
    warm, even = (unheated(CAN_8, celsius(t), celsius(20), 0.0025) for t in (40, 20))
    assert warm is not None
    assert even is not None
    assert warm.drawn > even.drawn


def test_a_hot_system_takes_less_than_a_cool_one_at_the_same_can() -> None:
    hot = kept_warm(CAN_8, celsius(20), celsius(40), 0.0025)
    assert hot is not None
    assert 1000 * hot.drawn == pytest.approx(73.5, rel=3e-3)  # against 81.9 with both at 20 C


def test_the_leak_test_charge_cools_a_litre_of_water_by_3_kelvin() -> None:
    # 85.05 g x 149.4 kJ/kg = 12.71 kJ; 12.71 / 4.18 = 3.04 K
    assert water_cools(heat_needed("R-1234yf", LEAK_TEST, celsius(20))) == pytest.approx(3.04, abs=0.02)


def job(can_at: float = 20, system_at: float = 20, target: float = LEAK_TEST) -> FlowJob:
    return FlowJob(CAN_8, celsius(can_at), celsius(system_at), 0.0025, target, ATMOSPHERE)


@pytest.mark.parametrize("can_at", [52.01, 55, 60, 400])
def test_a_can_above_its_limit_stops_everything(can_at: float) -> None:
    answer = flow_answer(job(can_at=can_at))
    assert answer.weight is Weight.BLOCKS
    assert "125 °F (52 °C)" in answer.headline
    assert not answer.numbers


def test_warming_stays_far_below_the_limit_and_names_the_label() -> None:
    assert WARMEST_WATER < CAN_LIMIT - 10
    said = " ".join(flow_answer(job()).says)
    assert "95 to 104 °F (35 to 40 °C)" in said
    assert "never above what its label allows" in said
    assert "12.7 kJ" in said


def test_the_answer_is_a_range_since_nobody_knows_a_systems_volume() -> None:
    result = flow(job())
    small, large = result.unheated
    assert small is not None
    assert large is not None
    assert small.drawn < 0.0400 < large.drawn
    assert result.falls_short
    assert not flow(job(target=0.010)).falls_short


def test_a_system_hotter_than_any_water_is_let_cool_first() -> None:
    assert "let it cool first" in " ".join(flow_answer(job(system_at=45)).says)


def test_a_heel_is_told_from_its_pressure_unless_there_may_be_liquid() -> None:
    vapour = flow_answer(job(), heel_pressure=ATMOSPHERE + 30 * PSI)
    assert "4.0 g of vapour stay" in " ".join(
        vapour.says
    )  # C-05: 3.973 g in 255 mL; this can is taken as 255
    wet = flow_answer(job(), heel_pressure=ATMOSPHERE + 90 * PSI)
    assert "only the scale tells its heel" in " ".join(wet.says)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"can": replace(CAN_8, net=0.05)}, "net"),
        ({"can": replace(CAN_8, net=13.6)}, "net"),
        ({"kelvin": celsius(-30)}, "can_at"),
        ({"system": celsius(61)}, "system_at"),
        ({"volume": 0.0001}, "litres"),
        ({"volume": 0.05}, "litres"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field(wrong: dict[str, object], field: str) -> None:
    (found,) = flow_problems(replace(job(), **wrong))  # type: ignore[arg-type]
    assert (found.blocks, found.field) == (True, field)
    assert flow_answer(replace(job(), **wrong)).weight is Weight.BLOCKS  # type: ignore[arg-type]


@given(
    FLUID,
    st.floats(-300, 500),
    st.floats(-300, 500),
    st.floats(-1, 1),
    st.floats(-1, 2),
    st.floats(0, 3),
    st.none() | st.floats(-1e6, 1e8),
)
def test_whatever_is_asked_there_is_an_answer(
    code: str, can_at: float, system_at: float, volume: float, net: float, target: float, heel: float | None
) -> None:
    can = SmallCan(code, net, 0.1, 255e-6)
    asked = FlowJob(can, celsius(can_at), celsius(system_at), volume, target, ATMOSPHERE)
    assert flow_answer(asked, heel_pressure=heel).headline


def test_a_chilled_can_is_wiped_and_waited_for() -> None:
    assert cold_wet(grams(40)) is None
    found = cold_wet(grams(85))
    assert found is not None
    assert "Wipe it and wait" in found.message
    assert not found.blocks


def test_the_hint_names_a_range_of_bays_until_somebody_wrote_one_down() -> None:
    asked = LeakTestFlow("R-1234yf", grams(227), grams(108), grams(85))
    anywhere, here = stall_hint(asked), stall_hint(replace(asked, bay=celsius(20)))
    assert anywhere is not None
    assert here is not None
    assert "bay at 50 to 86 °F" in anywhere.message
    assert "bay at 68 °F" in here.message
    assert "short of 85 g" in here.message


@pytest.mark.parametrize(
    "asked",
    [
        LeakTestFlow("R-1234yf", grams(227), grams(108), grams(10)),  # goes over by itself
        LeakTestFlow("unknown", grams(227), grams(108), grams(85)),
        LeakTestFlow("R-134a", grams(340), grams(126), grams(75), celsius(65)),  # no bay is that hot
        LeakTestFlow("R-134a", grams(2000), grams(500), grams(75)),  # no small can
    ],
)
def test_where_nothing_useful_can_be_said_nothing_is(asked: LeakTestFlow) -> None:
    assert stall_hint(asked) is None
