"""Air and water against published values."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.air import FOOT, MoistAir, standard_air, water_boils_at, water_pressure
from shop.core.conditions import conditions, with_barometer
from shop.core.gauge import INHG, celsius, in_celsius, pressure_shown, rounded, temperature_shown, with_minus
from shop.core.house import HouseRules, house_rules


@pytest.mark.parametrize(
    ("kelvin", "megapascal"),
    [(300, 0.353658941e-2), (500, 0.263889776e1), (600, 0.123443146e2)],  # IAPWS R7-97 table 35
)
def test_water_boils_as_the_iapws_tables_say(kelvin: float, megapascal: float) -> None:
    assert water_pressure(kelvin) == pytest.approx(megapascal * 1e6, rel=1e-8)


@pytest.mark.parametrize(
    ("megapascal", "kelvin"),
    [(0.1, 372.755919), (1, 453.035632), (10, 584.149488)],  # IAPWS R7-97 table 36
)
def test_the_boiling_point_is_the_iapws_one(megapascal: float, kelvin: float) -> None:
    assert water_boils_at(megapascal * 1e6) == pytest.approx(kelvin, abs=1e-6)


def test_ice_leaves_as_the_iapws_formula_says() -> None:
    assert water_pressure(230) == pytest.approx(8.94735, rel=1e-6)  # IAPWS R14-08, check value


@given(st.floats(1, 2e6))
def test_boiling_point_and_vapour_pressure_undo_each_other(pascal: float) -> None:
    assert water_pressure(water_boils_at(pascal)) == pytest.approx(pascal, rel=1e-5)


@given(st.floats(-10, 50), st.floats(0.05, 1))
def test_the_wet_bulb_lies_between_dew_point_and_dry_bulb(degrees: float, humidity: float) -> None:
    air = MoistAir(celsius(degrees), humidity)
    assert air.dew_point - 0.01 <= air.wet_bulb <= air.kelvin + 0.01


def test_the_air_grows_thin_with_height() -> None:
    assert standard_air(5000 * FOOT) / INHG == pytest.approx(24.896, abs=0.005)  # US Standard Atmosphere 1976


@pytest.mark.parametrize(
    ("text", "pascal"),
    [
        ("29 inHg", 3119.7),
        ("600 micron", 79.993),
        ("78.2 psi", 640_495),
        ("-20,5 psi", -40_018),
        ("3 mbar", 300),
    ],
)
def test_a_gauge_reading_becomes_absolute_pressure(text: str, pascal: float) -> None:
    reading = pressure_shown(text)
    assert reading is not None
    assert reading.absolute(101_325) == pytest.approx(pascal, abs=1)


@pytest.mark.parametrize(
    "text", ["", "about 78", "78", "78 stone", "7" * 40 + " psi", "psi", "٧٨ psi", "1e5 Pa"]
)
def test_what_is_no_reading_is_not_guessed(text: str) -> None:
    assert pressure_shown(text) is None


def test_temperatures_are_read_in_both_scales() -> None:
    assert temperature_shown("85 °F") == pytest.approx(302.594, abs=1e-3)
    assert temperature_shown("29.4 °C") == pytest.approx(302.55)
    assert temperature_shown("-500 °F") is None


def test_zero_is_never_printed_with_a_minus() -> None:
    assert rounded(-0.04, 1) == "0.0"


def test_what_is_below_zero_has_a_real_minus() -> None:
    assert rounded(-1234.56, 1) == "−1,234.6"
    assert with_minus("-9 °F") == "−9 °F"
    assert with_minus("-9.5°C, -2 deg f at the end") == "−9.5°C, −2 deg f at the end"
    assert with_minus("RC-02, 20-25 °C, 5 psi, -3 psi") == "RC-02, 20-25 °C, 5 psi, -3 psi"


HIGH = house_rules([("altitude_ft", "5000")])


def test_a_barometer_counts_before_the_height() -> None:
    here, found = with_barometer(conditions(HIGH), "24.6 inHg")
    assert found == []
    assert here.air == pytest.approx(24.6 * 3386.389)
    assert here.u_air < conditions(HIGH).u_air


def test_a_weather_reports_figure_is_refused_at_height() -> None:
    here, found = with_barometer(conditions(HIGH), "29.92 inHg")
    assert [one.code for one in found] == ["barometer-corrected"]
    assert here == conditions(HIGH)


@pytest.mark.parametrize(("text", "code"), [("24.6", "barometer-unread"), ("3 kPa", "barometer-absurd")])
def test_what_no_barometer_shows_is_refused(text: str, code: str) -> None:
    assert [one.code for one in with_barometer(conditions(HouseRules()), text)[1]] == [code]


def test_air_at_25_degrees_and_saturated_is_ashraes() -> None:
    air = MoistAir(celsius(25), 1)
    assert air.ratio == pytest.approx(0.020173, rel=0.01)  # ASHRAE Fundamentals 2017 chapter 1, table 2
    assert in_celsius(air.dew_point) == pytest.approx(25, abs=1e-3)
