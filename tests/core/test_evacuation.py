"""What a vacuum gauge could tell: readings that cannot be, altitude, and leak or vapour by three readings."""

from __future__ import annotations

import math
import random
import re
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.evacuation import (
    GaugeKind,
    Judged,
    Ratio,
    Told,
    Vacuum,
    VacuumReadings,
    judged,
    ratio_of,
    rise_of,
    told,
    vacuum,
)
from compliance.core.evacuation_words import evacuation_answer, vacuum_facts
from shop.core.air import TRIPLE_PRESSURE
from shop.core.conditions import Conditions, conditions
from shop.core.findings import Weight
from shop.core.gauge import MICRON
from shop.core.house import house_rules


def at(feet: int, **rules: str) -> Conditions:
    return conditions(house_rules([("altitude_ft", str(feet)), *rules.items()]))


SEA = at(0)


def read(text: str, here: Conditions = SEA) -> Vacuum:
    reading = vacuum(text, here)
    assert reading is not None
    return reading


def of(here: Conditions = SEA, **readings: str) -> Told:
    return told(VacuumReadings(minutes=10, **readings), here)


def held(first: str, middle: str, last: str, here: Conditions = SEA, **more: str) -> Told:
    return of(here, deepest=first, hold_from=first, hold_middle=middle, hold_to=last, **more)


def codes(one: Told) -> list[tuple[str, str]]:
    return [(finding.code, finding.field) for finding in one.findings]


# --- What cannot be


@pytest.mark.parametrize(
    ("feet", "typed", "code"),
    [
        # largest possible by the standard atmosphere: 29.92 at the sea, 24.90 at 5,000 ft, 20.58 at 10,000 ft;
        # with 1 inHg of weather and 1 psi = 2.04 inHg of the gauge: 32.96, 27.93, 23.61
        (0, "29.2 inHg", None),
        (0, "29.9 inHg", None),
        (0, "30 inHg", "vacuum-past-air"),
        (0, "32.9 inHg", "vacuum-past-air"),
        (0, "33 inHg", "vacuum-too-deep"),
        (5000, "24 inHg", None),
        (5000, "24.8 inHg", None),
        (5000, "25 inHg", "vacuum-past-air"),
        (5000, "27.9 inHg", "vacuum-past-air"),
        (5000, "28 inHg", "vacuum-too-deep"),
        (10000, "29.2 inHg", "vacuum-too-deep"),
        (5000, "-28 inHg", "vacuum-too-deep"),
        (0, "-17 psi", "vacuum-too-deep"),
        (0, "-14 psi", None),
        (0, "5 psi", "no-vacuum"),
        (0, "9 kPa", "no-vacuum"),  # kPa of a manifold gauge counts from the air
        (0, "6 kPa", None),  # within 1 psi = 6.9 kPa that the gauge may be off by
        (0, "0 psi", None),
        (0, "0 micron", "vacuum-below-all"),
        (0, "-5 micron", "vacuum-below-all"),
        (0, "0 mbar", None),  # a display in whole mbar shows that below half of one
        (0, "900000 micron", "vacuum-above-air"),
        (0, "29.2 micron", "micron-or-inhg"),
        (0, "29 micron", "micron-or-inhg"),
        (0, "600 micron", None),
        (5000, "600 micron", None),
        (0, "about 600", None),
    ],
)
def test_a_reading_is_held_against_the_air_of_the_place(feet: int, typed: str, code: str | None) -> None:
    assert codes(of(at(feet), deepest=typed)) == ([(code, "deepest")] if code else [])


def test_what_is_past_the_air_is_zero_and_only_looked_at_and_what_cannot_be_is_refused() -> None:
    past = of(at(5000), deepest="25.5 inHg")
    assert [one.weight for one in past.findings] == [Weight.WARNS]
    assert past.deepest is not None
    assert (past.deepest.pascal, past.deepest.boils, past.deepest.micron) == (0, None, None)
    assert "read as zero" in evacuation_answer(past).headline
    refused = evacuation_answer(of(at(5000), deepest="29.2 inHg"))
    assert refused.weight is Weight.BLOCKS
    assert "the air here is about 24.9 inHg (5,000 ft, standard air)" in refused.headline


def test_a_barometer_narrows_the_band_and_tells_the_true_depth() -> None:
    # 24.2 inHg of air, 0.1 for the barometer, 2.04 for the gauge: 26.34
    low = {"barometer": "24.2 inHg"}
    assert codes(of(at(5000), deepest="26.3 inHg", **low)) == [("vacuum-past-air", "deepest")]
    assert codes(of(at(5000), deepest="26.4 inHg", **low)) == [("vacuum-too-deep", "deepest")]
    deepest = of(at(5000), deepest="24 inHg", **low).deepest
    assert deepest is not None
    assert deepest.pascal == pytest.approx(0.2 * 3386.389)


def test_a_weather_report_at_height_is_refused_beside_the_barometer() -> None:
    assert codes(of(at(5000), deepest="24 inHg", barometer="29.92 inHg")) == [
        ("barometer-corrected", "barometer")
    ]


@pytest.mark.parametrize("field", ["hold_from", "hold_middle", "hold_to"])
def test_every_reading_of_the_hold_is_held_against_the_air(field: str) -> None:
    assert codes(of(at(5000), deepest="24 inHg", **{field: "29.2 inHg"})) == [("vacuum-too-deep", field)]


def test_refrigerant_may_push_the_end_of_a_hold_above_the_air() -> None:
    assert codes(of(deepest="29 inHg", hold_from="29 inHg", hold_to="5 psi")) == []


@pytest.mark.parametrize("typed", ["78", "500 °F", "-30 °C", "warm"])
def test_a_bay_temperature_that_cannot_be_is_refused(typed: str) -> None:
    assert codes(of(deepest="600 micron", temperature=typed)) == [("temperature-absurd", "temperature")]


def test_a_gauge_named_compound_shows_no_micron() -> None:
    assert codes(of(deepest="600 micron", gauge="Compound gauge")) == [("micron-on-compound", "deepest")]


# --- What the gauge could tell


def test_a_compound_gauge_shows_that_the_pump_pulls_and_nothing_about_dryness() -> None:
    seen = of(deepest="29.2 inHg", temperature="68 °F")
    answer = evacuation_answer(seen)
    assert answer.headline == "The pump pulls. Whether the system is dry, a compound gauge cannot tell."
    assert "micron" not in " ".join([answer.headline, *answer.says, *sum(answer.numbers, ())])
    facts = vacuum_facts(seen)
    assert facts is not None
    assert (facts.gauge, facts.pulls, facts.boils) == ("compound gauge", True, "")


def test_even_a_good_compound_gauge_knows_no_micron_by_the_height_alone() -> None:
    # u(air) = 1 kPa by height alone is 7,500 micron, whatever the gauge
    fine = at(0, gauge_step_psi="0.01", gauge_error_psi="0.1")
    assert read("29.2 inHg", fine).u / MICRON > 7_000


def test_a_reading_within_the_error_of_gauge_and_air_does_not_show_that_the_pump_pulls() -> None:
    # 2 u = 2 x root(1000² + 3981² + 1990²) Pa = 9.1 kPa = 2.7 inHg
    assert not of(deepest="2.6 inHg").pulls
    assert of(deepest="2.8 inHg").pulls
    assert evacuation_answer(of(deepest="2.6 inHg")).weight is Weight.WARNS


def test_an_electronic_gauge_tells_where_water_boils() -> None:
    # IAPWS R14-08: ice at 500 micron, -24.48 °C
    answer = evacuation_answer(of(deepest="500 micron", temperature="68 °F"))
    assert answer.headline == (
        "At 500 micron water boils at −12 °F (−24 °C): it boils off in a bay at 68 °F (20 °C). That does not show that"
        " all of it left."
    )


def test_water_that_is_too_cold_to_boil_is_said() -> None:
    # 20,000 micron = 2.67 kPa, water boils at 22.2 °C (IAPWS-IF97); the bay has 15 °C
    answer = evacuation_answer(of(deepest="20000 micron", temperature="15 °C"))
    assert (
        "water boils at 72 °F (22 °C): that it boils off in a bay at 59 °F (15 °C) is not shown"
        in answer.headline
    )


def test_no_figure_is_made_of_a_micron_that_may_be_an_inch() -> None:
    seen = of(deepest="29 micron")
    assert [label for label, _ in evacuation_answer(seen).numbers] == ["Air here"]
    facts = vacuum_facts(seen)
    assert facts is not None
    assert facts.boils == ""


def test_what_is_no_pressure_is_not_known() -> None:
    seen = of(deepest="deep enough")
    assert evacuation_answer(seen).headline.startswith("Not known.")
    assert vacuum_facts(seen) is None


inches = st.integers(0, 330).map(lambda tenths: tenths / 10)
heights = st.integers(-1400, 14_000)


@given(inches, heights, st.sampled_from(["inHg", "psi", "kPa", "bar"]))
def test_a_compound_gauge_never_yields_a_micron(depth: float, feet: int, unit: str) -> None:
    text = f"{depth if unit == 'inHg' else -depth} {unit}"
    seen = of(at(feet), deepest=text, hold_from=text, hold_middle=text, hold_to=text)
    assert seen.deepest is not None
    assert (seen.deepest.kind, seen.deepest.micron) == (GaugeKind.COMPOUND, None)
    answer = evacuation_answer(seen)
    words = [answer.headline, *answer.says, *sum(answer.numbers, ())]
    assert not any("micron" in one for one in words)
    facts = vacuum_facts(seen)
    assert facts is not None
    assert "micron" not in facts.rise + facts.boils


@given(inches, inches, heights)
def test_the_deeper_the_vacuum_the_colder_water_boils(one: float, other: float, feet: int) -> None:
    shallow, deep = (read(f"{depth} inHg", at(feet)) for depth in sorted((one, other)))
    assert deep.pascal <= shallow.pascal
    if deep.boils is not None:
        assert shallow.boils is not None
        assert deep.boils <= shallow.boils <= shallow.boils_at_most


@given(st.integers(1, 500_000), heights)
def test_a_micron_is_the_same_at_every_height(micron: int, feet: int) -> None:
    assert read(f"{micron} micron", at(feet)).micron == pytest.approx(micron)


@given(st.text(max_size=24), st.text(max_size=24))
def test_whatever_is_typed_there_is_an_answer(text: str, other: str) -> None:
    seen = of(
        deepest=text, hold_from=other, hold_middle=text, hold_to=other, barometer=other, temperature=text
    )
    assert evacuation_answer(seen).headline


# --- Leak, vapour or inconclusive


def vapour(tau: float) -> tuple[str, str, str]:
    """Vapour comes off towards 2,000 micron; read at 0, 5 and 10 min."""
    first, middle, last = (f"{400 + 1600 * (1 - math.exp(-t / tau)):.0f} micron" for t in (0, 5, 10))
    return first, middle, last


@pytest.mark.parametrize(
    ("tau", "ratio", "verdict"),
    [  # exp(-5/tau), by hand: 0.082, 0.368, 0.607, 0.779
        (2, 0.08, Judged.SLOWING),
        (5, 0.37, Judged.SLOWING),
        (10, 0.61, Judged.INCONCLUSIVE),
        (20, 0.78, Judged.INCONCLUSIVE),
    ],
)
def test_vapour_slows_down_and_a_slow_one_is_not_told_from_a_leak(
    tau: float, ratio: float, verdict: Judged
) -> None:
    seen = held(*vapour(tau))
    assert seen.ratio is not None
    assert seen.ratio.value == pytest.approx(ratio, abs=0.01)
    assert seen.judged is verdict


def test_air_flows_in_evenly() -> None:
    seen = held("500 micron", "1500 micron", "2500 micron")
    assert seen.judged is Judged.STEADY
    answer = evacuation_answer(seen)
    assert answer.weight is Weight.WARNS
    assert "as with a leak" in answer.headline


def test_a_rise_that_slows_above_the_pressure_of_water_is_not_called_moisture() -> None:
    # water at 20 °C: 2,339 Pa = 17,540 micron (IAPWS-IF97); both rises have r = 0.3
    below = held("1000 micron", "9000 micron", "11400 micron", temperature="20 °C")
    above = held("1000 micron", "21000 micron", "27000 micron", temperature="20 °C")
    assert (below.judged, below.above_water) == (Judged.SLOWING, False)
    assert (above.judged, above.above_water) == (Judged.INCONCLUSIVE, True)
    assert "cannot be water alone" in " ".join(evacuation_answer(above).says)


def test_without_a_bay_temperature_water_is_taken_as_just_above_freezing() -> None:
    # 611.657 Pa = 4,588 micron
    assert held("1000 micron", "3000 micron", "3600 micron").judged is Judged.SLOWING
    assert held("1000 micron", "9000 micron", "11400 micron").judged is Judged.INCONCLUSIVE


def test_a_compound_gauge_judges_only_what_is_gross() -> None:
    assert held("29 inHg", "28.6 inHg", "28.2 inHg").judged is Judged.NOT_SEEN
    assert held("29 inHg", "20 inHg", "11 inHg").judged is Judged.INCONCLUSIVE  # r 1.0, but 2 u(r) = 0.32
    fine = at(0, gauge_step_psi="0.1")
    assert held("29 inHg", "20 inHg", "11 inHg", fine).judged is Judged.STEADY
    assert (
        held("29 inHg", "20 inHg", "18 inHg", fine).judged is Judged.INCONCLUSIVE
    )  # slows, but far above water


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        (("600 micron", "", "720 micron"), Judged.NOT_JUDGED),
        (("600 micron", "600 micron", "600 micron"), Judged.NOT_SEEN),
        (("900 micron", "800 micron", "700 micron"), Judged.FELL),
        (("600 micron", "1500 micron", "900 micron"), Judged.INCONCLUSIVE),  # up and down again
        (("600 micron", "590 micron", "720 micron"), Judged.INCONCLUSIVE),  # no first rise to compare with
        (("600 micron", "", "28 inHg"), None),
        (("600 micron", "", "steady"), None),
    ],
)
def test_a_hold_is_judged_only_as_far_as_its_readings_go(
    readings: tuple[str, str, str], verdict: Judged | None
) -> None:
    assert held(*readings).judged is verdict


@pytest.mark.parametrize(
    ("readings", "weight"),
    [
        (("600 micron", "600 micron", "600 micron"), Weight.NOTE),
        (("600 micron", "690 micron", "720 micron"), Weight.WARNS),
        (("600 micron", "", "720 micron"), Weight.WARNS),
        (("500 micron", "1500 micron", "2500 micron"), Weight.WARNS),
        (("29 inHg", "29 inHg", "29 inHg"), Weight.WARNS),  # still nothing about dryness
        (("0 mbar", "0 mbar", "0 mbar"), Weight.WARNS),
    ],
)
def test_only_an_electronic_gauge_that_stood_still_asks_for_no_look(
    readings: tuple[str, str, str], weight: Weight
) -> None:
    assert evacuation_answer(held(*readings)).weight is weight


def test_no_leak_rate_follows_from_a_hold() -> None:
    for readings in (("500 micron", "1500 micron", "2500 micron"), ("29 inHg", "20 inHg", "11 inHg")):
        answer = evacuation_answer(held(*readings))
        words = " ".join([answer.headline, *answer.says, *sum(answer.numbers, ())])
        assert "No leak rate follows from it" in words
        assert re.search(r"\d\s*(g|kg|oz)\b|year", words) is None


def judge(value: float, u: float, last: Vacuum) -> Judged:
    rise = rise_of(read("100 micron"), last)
    assert rise is not None
    return judged(rise, Ratio(value, u), last, TRIPLE_PRESSURE)


@pytest.mark.parametrize(
    ("value", "u", "verdict"),
    [
        (0.801, 0, Judged.STEADY),
        (0.8, 0, Judged.INCONCLUSIVE),
        (0.6, 0, Judged.INCONCLUSIVE),
        (0.599, 0, Judged.SLOWING),
        (1.0, 0.099, Judged.STEADY),
        (1.0, 0.101, Judged.INCONCLUSIVE),
        (0.4, 0.099, Judged.SLOWING),
        (0.4, 0.101, Judged.INCONCLUSIVE),
    ],
)
def test_the_limits_are_moved_by_two_standard_uncertainties(value: float, u: float, verdict: Judged) -> None:
    assert judge(value, u, read("2000 micron")) is verdict


def test_the_uncertainty_of_the_ratio_is_what_drawn_readings_scatter_by() -> None:
    pick, u = random.Random(60), 10 * MICRON
    true = [pascal * MICRON for pascal in (600, 1600, 2200)]  # r = 0.6

    def drawn() -> float:
        first, middle, last = (Vacuum(GaugeKind.ELECTRONIC, pick.gauss(one, u), u, u) for one in true)
        ratio = ratio_of(first, middle, last)
        assert ratio is not None
        return ratio.value

    stated = ratio_of(*(Vacuum(GaugeKind.ELECTRONIC, one, u, u) for one in true))
    assert stated is not None
    assert stated.u == pytest.approx(0.01 * math.sqrt(2 + 1.2 + 0.72))  # root(2 + 2r + 2r²), by hand
    assert statistics.stdev(drawn() for _ in range(20_000)) == pytest.approx(stated.u, rel=0.03)
