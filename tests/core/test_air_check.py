"""Air or mixed refrigerant in a cylinder at rest, against worked figures and the published table from memory."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.core.air_check import AirFound, AirReadings, AirVerdict, air_answer, air_check
from inventory.core.properties import FLUIDS
from shop.core.conditions import Conditions, conditions
from shop.core.findings import Finding, Weight
from shop.core.gauge import ATMOSPHERE, PSI, fahrenheit, in_psig
from shop.core.house import HouseRules
from shop.core.mass import Mass, Unit, grams

HALF_PSI = Conditions(ATMOSPHERE, 0, "sea level", 0, 0.5 * PSI, 1 / 1.8)
SHOP = conditions(HouseRules())


def check(gas: str, pressure: str, temperature: str, here: Conditions = HALF_PSI) -> AirFound:
    found = air_check(AirReadings(gas, pressure, temperature), here)
    assert isinstance(found, AirFound), found
    return found


def refused(readings: AirReadings, here: Conditions = SHOP) -> Finding:
    found = air_check(readings, here)
    assert isinstance(found, Finding)
    return found


def test_11_psi_over_saturation_is_air_or_a_mixture() -> None:
    # 75 °F: R-134a 78.7 psig, so 90 psi is 11.3 over; slope 1.56 psi a °F; gauge 0.5 psi, thermometer 1 °F, and the
    # last digit of "90 psi", 1/root(12): u = root(0.25 + 2.43 + 0.083) = 1.66 psi; 11.3 of 104.7 psi absolute is air
    found = check("R-134a", "90 psi", "75 °F")

    assert found.excess / PSI == pytest.approx(11.3, abs=0.05)
    assert found.u / PSI == pytest.approx(1.66, abs=0.01)
    assert found.air_share == pytest.approx(0.108, abs=0.001)
    assert found.verdict is AirVerdict.EXCESS
    answer = air_answer(found)
    assert answer.weight is Weight.BLOCKS
    assert answer.headline.startswith("Air or mixed refrigerant")
    assert "purging does not cure a mixture" in " ".join(answer.says)
    assert "Venting refrigerant is no cure" in " ".join(answer.says)


@pytest.mark.parametrize(
    ("degrees", "psig"), [(65, 69), (70, 76), (75, 83), (80, 91), (90, 109), (100, 129), (105, 139)]
)
def test_what_the_published_table_allows_is_not_flagged(degrees: int, psig: int) -> None:
    # SAE J2211 table for recycled R-134a (from memory): highest pressures without excess air
    found = check("R-134a", f"{psig} psi", f"{degrees} °F", replace(HALF_PSI, u_temperature=0.1))

    assert found.verdict is AirVerdict.FITS
    assert check(
        "R-134a", f"{psig + 2} psi", f"{degrees} °F", replace(HALF_PSI, u_temperature=0.1)
    ).verdict is (AirVerdict.EXCESS)


def test_a_coarse_gauge_flags_later_than_5_psi() -> None:
    coarse = replace(HALF_PSI, u_gauge=3 * PSI)
    found = check("R-134a", "85 psi", "75 °F", coarse)

    assert found.limit > 6 * PSI
    assert 5 * PSI < found.excess < found.limit
    assert found.verdict is AirVerdict.FITS


def test_too_little_pressure_is_no_sign_of_purity() -> None:
    answer = air_answer(check("R-134a", "60 psi", "75 °F"))

    assert answer.weight is Weight.WARNS
    assert "not at rest, no liquid is left, it is another refrigerant" in answer.says[0]


@pytest.mark.parametrize(
    ("gas", "words"), [("R-1234yf", "own rule"), ("R-152a", "own rule"), ("R-134a", "J2211")]
)
def test_where_no_table_was_found_the_rule_is_said_to_be_our_own(gas: str, words: str) -> None:
    assert words in air_answer(check(gas, "80 psi", "75 °F")).basis


def test_at_5000_ft_the_same_cylinder_shows_more_and_is_judged_the_same() -> None:
    # standard air at 5,000 ft is 84.3 kPa, 2.47 psi below sea level
    high = conditions(HouseRules(altitude_ft=HouseRules().altitude_ft + 5000))
    low, up = check("R-134a", "79 psi", "75 °F", SHOP), check("R-134a", "81.5 psi", "75 °F", high)

    assert up.excess == pytest.approx(low.excess, abs=0.1 * PSI)


def test_the_weather_is_part_of_the_doubt_unless_a_barometer_was_read() -> None:
    assert (
        check("R-134a", "79 psi", "75 °F", SHOP).u
        > check("R-134a", "79 psi", "75 °F", replace(SHOP, u_air=0)).u
    )


@pytest.mark.parametrize(
    ("gas", "pressure", "temperature", "code", "field"),
    [
        ("unknown", "79 psi", "75 °F", "air-unknown", "refrigerant"),
        ("R-134a", "79 psi", "75", "temperature-unread", "temperature"),
        ("R-134a", "79 psi", "64 °F", "air-cold", "temperature"),
        ("R-134a", "79 psi", "126 °F", "air-hot", "temperature"),
        ("R-134a", "79", "75 °F", "pressure-unread", "pressure"),
        ("R-134a", "600 micron", "75 °F", "pressure-unread", "pressure"),
        ("R-134a", "10 inHg", "75 °F", "pressure-unread", "pressure"),
        ("R-134a", "-15 psi", "75 °F", "pressure-absurd", "pressure"),
        ("R-134a", "79 bar", "75 °F", "pressure-absurd", "pressure"),
    ],
)
def test_what_cannot_be_judged_says_so_beside_its_field(
    gas: str, pressure: str, temperature: str, code: str, field: str
) -> None:
    found = refused(AirReadings(gas, pressure, temperature))

    assert (found.code, found.field) == (code, field)


def test_a_cylinder_without_liquid_says_nothing_about_air() -> None:
    # 11.9 L of R-134a vapour at 75 °F, 31.3 kg/m³, is 372 g
    water = Mass.of("26.2", Unit.LB)
    nearly_empty = AirReadings("R-134a", "79 psi", "75 °F", water, grams(360))

    assert refused(nearly_empty).code == "air-no-liquid"
    assert isinstance(air_check(replace(nearly_empty, held=grams(390)), SHOP), AirFound)


@given(gas=st.sampled_from(sorted(FLUIDS)), degrees=st.integers(65, 125), over=st.integers(-40, 40))
def test_pure_refrigerant_is_never_flagged_and_much_more_always_is(gas: str, degrees: int, over: int) -> None:
    pure = in_psig(FLUIDS[gas].pressure(fahrenheit(degrees)), SHOP.air)
    found = check(gas, f"{pure + over:.1f} psi", f"{degrees} °F", SHOP)

    if over == 0:
        assert found.verdict is AirVerdict.FITS
    if over > found.limit / PSI + 0.1:
        assert found.verdict is AirVerdict.EXCESS
    if over < -2 * found.u / PSI - 0.1:
        assert found.verdict is AirVerdict.LOW


@given(text=st.text(max_size=12), other=st.text(max_size=12))
def test_whatever_is_typed_there_is_an_answer_or_a_finding(text: str, other: str) -> None:
    found = air_check(AirReadings("R-134a", text, other), SHOP)

    assert isinstance(found, AirFound | Finding)
