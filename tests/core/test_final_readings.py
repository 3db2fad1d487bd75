"""Final readings: what follows from them, what cannot be, and that none of them is ever a pass."""

from __future__ import annotations

import random
import statistics
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.approach import approach_answer
from compliance.core.final_readings import (
    Typed,
    Worked,
    heat_taken,
    readings,
    typed_problems,
    work_out,
)
from compliance.core.final_words import EVIDENCE, final_answer
from inventory.core.properties import FLUIDS
from shop.core.answer import Answer
from shop.core.conditions import conditions
from shop.core.findings import Weight
from shop.core.gauge import celsius, in_celsius, in_fahrenheit
from shop.core.house import HouseRules, house_rules

HERE = conditions(HouseRules())
RUNS = {
    "vent": "44 °F",
    "inlet": "78 °F",
    "outdoor": "84 °F",
    "humidity": "38 % RH",
    "low_side": "31 psi",
    "high_side": "195 psi",
}


def worked(refrigerant: str = "R-134a", **read: str) -> Worked:
    typed = Typed(**(RUNS | read))
    return work_out(readings(typed, HERE), FLUIDS.get(refrigerant), HERE)


def codes(**read: str) -> list[str]:
    return [one.code for one in worked(**read).findings]


def answer(**read: str) -> Answer:
    return final_answer(worked(**read), [], [], HERE)


def test_pressures_become_temperatures_of_the_refrigerant() -> None:
    # R-134a saturation tables: 195 psig about 129 °F, 31 psig about 36 °F (common charts, no source)
    one = worked()
    assert one.condensing is not None
    assert one.evaporating is not None
    assert in_fahrenheit(one.condensing) == pytest.approx(129, abs=1)
    assert in_fahrenheit(one.evaporating) == pytest.approx(36, abs=1)
    assert one.approach == pytest.approx(one.condensing - celsius((84 - 32) / 1.8))


@pytest.mark.parametrize(
    ("inlet", "humidity", "vent", "heat"),
    [  # mid-band rows of a published performance table (R-134a car of 2010), enthalpies by psychrolib 2.5.0
        (20, 0.55, 7.0, 18.5),
        (25, 0.55, 9.65, 25.4),
        (30, 0.55, 16.0, 24.3),
        (25, 0.65, 12.15, 24.7),
        (30, 0.65, 19.0, 22.4),
    ],
)
def test_the_heat_taken_from_the_air_is_psychrolibs(
    inlet: float, humidity: float, vent: float, heat: float
) -> None:
    assert heat_taken(celsius(inlet), humidity, celsius(vent), 101_325) / 1000 == pytest.approx(heat, abs=0.1)


def test_its_doubt_is_what_chance_makes_of_its_readings() -> None:
    """Monte Carlo (JCGM 101) over thermometers and hygrometer: about 4 kJ/kg at 30 °C and 55 % RH."""
    pick, u = random.Random(12), HERE.u_temperature
    draws = [
        heat_taken(celsius(pick.gauss(30, u)), pick.gauss(0.55, 0.05), celsius(pick.gauss(16, u)), 101_325)
        for _ in range(4_000)
    ]
    one = worked(vent="16 °C", inlet="30 °C", humidity="55 % RH")
    assert one.u_heat == pytest.approx(statistics.stdev(draws), rel=0.06)
    assert one.u_heat == pytest.approx(4_000, rel=0.2)


@pytest.mark.parametrize(
    ("read", "code"),
    [
        ({"high_side": "30 psi"}, "sides-swapped"),
        ({"high_side": "60 psi"}, "high-below-rest"),  # R-134a at 84 °F rests at about 93 psig
        ({"vent": "28 °F"}, "vent-below-coil"),  # evaporating at 36 °F, less 3.6
        ({"vent": "80 °F"}, "vent-above-inlet"),
        ({"low_side": "92 psi", "high_side": "93 psi"}, "not-running"),
        ({"humidity": "138 % RH"}, "humidity-absurd"),
        ({"humidity": "-5 % RH"}, "humidity-absurd"),
        ({"humidity": "85 °F dew point"}, "humidity-absurd"),  # above the 78 °F going in
        ({"humidity": "80 °F wet bulb"}, "humidity-absurd"),
        ({"inlet": "", "outdoor": ""}, "humidity-alone"),
    ],
)
def test_readings_that_cannot_be_together_ask_for_a_look(read: dict[str, str], code: str) -> None:
    assert code in codes(**read)
    assert answer(**read).weight is Weight.WARNS


def test_readings_of_a_running_car_ask_for_nothing() -> None:
    assert codes() == []


def test_a_system_at_rest_is_said_once_and_not_as_swapped_hoses() -> None:
    assert codes(low_side="93 psi", high_side="92 psi") == ["not-running"]


def test_air_that_is_not_cooled_at_a_hot_inlet_is_no_fault_of_the_vent() -> None:
    assert "vent-above-inlet" not in codes(inlet="", vent="86 °F")  # outdoors is not what goes in


@pytest.mark.parametrize("vent", ["40 °F", "44 °F", "46 °F", "50 °F"])
def test_no_vent_temperature_is_a_pass(vent: str) -> None:
    one = answer(vent=vent)
    assert one.headline == "Pressures and vent temperature do not tell a charge."
    assert one.state == ("unneeded", "No verdict")
    assert EVIDENCE in one.says
    told = " ".join([one.headline, *one.says]).lower()
    assert not any(word in told for word in ("pass", "good", "normal", "correct", "inside"))


def test_the_air_of_a_high_place_counts() -> None:
    high = conditions(house_rules([("altitude_ft", "5000")]))
    typed = Typed(outdoor="84 °F", low_side="31 psi")
    there = work_out(readings(typed, high), FLUIDS["R-134a"], high).evaporating
    here = work_out(readings(typed, HERE), FLUIDS["R-134a"], HERE).evaporating
    assert there is not None
    assert here is not None
    assert there < here - 1  # 2.5 psi less absolute pressure: some 2 K colder


def test_a_wet_bulb_is_read_as_humidity() -> None:
    # ASHRAE Fundamentals 2017 chapter 1, example 1: 40 °C and 20 °C wet bulb are 14 % RH
    read = readings(Typed(outdoor="40 °C", humidity="20 °C wet bulb"), HERE)
    assert read.humidity == pytest.approx(0.14, abs=0.005)


def test_a_dew_point_at_the_airs_own_temperature_is_saturated_air() -> None:
    assert readings(Typed(inlet="70 °F", humidity="70 °F dew point"), HERE).humidity == pytest.approx(1)


def test_a_refrigerant_without_equations_gets_no_temperatures() -> None:
    one = worked("unknown")
    assert (one.condensing, one.evaporating, one.approach) == (None, None, None)
    assert one.heat is not None


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("vent", "cold"),
        ("vent", "44"),
        ("vent", "4400 °F"),
        ("inlet", "44 psi"),
        ("outdoor", "−200 °F"),
        ("low_side", "31 °F"),
        ("low_side", "600 micron"),
        ("high_side", "19500 psi"),
        ("humidity", "38 °F"),
        ("humidity", "damp"),
    ],
)
def test_what_no_instrument_shows_is_refused_beside_its_field(field: str, text: str) -> None:
    found = typed_problems(Typed(**{field: text}))
    assert [(one.field, one.blocks) for one in found] == [(field, True)]
    assert text in found[0].message


@pytest.mark.parametrize("text", ["38 % RH", "38%", "68 °F wet bulb", "20 °C dew point", "138 % RH"])
def test_what_an_instrument_may_show_is_never_refused(text: str) -> None:
    assert typed_problems(Typed(humidity=text)) == []


TEXT = st.one_of(
    st.text(max_size=24),
    st.builds(
        "{} {}".format, st.integers(-99, 999), st.sampled_from(["°F", "°C", "psi", "kPa", "% RH", "Pa"])
    ),
)


@given(read=st.fixed_dictionaries(dict.fromkeys(RUNS, TEXT)), code=st.sampled_from([*FLUIDS, "unknown"]))
def test_whatever_is_typed_there_is_an_answer(read: dict[str, str], code: str) -> None:
    typed = Typed(**read)
    typed_problems(typed)
    one = final_answer(work_out(readings(typed, HERE), FLUIDS.get(code), HERE), [], [], HERE)
    assert one.headline
    assert approach_answer(typed, FLUIDS.get(code), HERE).headline


@given(inlet=st.floats(-10, 50), vent=st.floats(-10, 50), humidity=st.floats(0.01, 1))
def test_colder_air_at_the_vent_took_more_heat(inlet: float, vent: float, humidity: float) -> None:
    warm, cold = (heat_taken(celsius(inlet), humidity, celsius(at), 101_325) for at in (vent, vent - 1))
    assert cold > warm


def test_the_sum_gives_temperatures_and_no_verdict() -> None:
    typed = Typed(outdoor="30 °C", high_side="1300 kPa", low_side="200 kPa")
    one = approach_answer(typed, FLUIDS["R-134a"], HERE, "°C")
    told: dict[str, Any] = dict(one.numbers)
    assert told["Condensing above outdoor air by"].startswith(
        "22.5 °C"
    )  # the same published table, by CoolProp
    assert one.state == ("unneeded", "No verdict")
    assert in_celsius(FLUIDS["R-134a"].temperature(301_325)) == pytest.approx(0.7, abs=0.1)  # 2 bar gauge


def test_the_sum_says_what_it_cannot_read() -> None:
    assert approach_answer(Typed(high_side="hot"), FLUIDS["R-134a"], HERE).weight is Weight.BLOCKS
    assert approach_answer(Typed(high_side="690 psi"), FLUIDS["R-134a"], HERE).headline.startswith(
        "Not known."
    )
