"""Figures from outside about the leak-test hold (fixtures/check_values_leak.csv, each with its source), by our code.

Rows without a tolerance (50 psi above 16 °C, the scales of detectors, what soap shows) are facts that were read: they
are held against our constants where we have one.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from compliance.core.leak import (
    DETECTED,
    ENOUGH,
    ENOUGH_ABOVE,
    HOURS_A_YEAR,
    Hold,
    Seeing,
    Static,
    all_vapour_above,
    see,
    sight,
    slopes,
    static_pressure,
    unseen_g,
    vapour_fraction,
)
from inventory.core.properties import FLUIDS
from shop.core.conditions import Conditions
from shop.core.gauge import ATMOSPHERE, PSI, celsius, in_celsius, in_psig
from shop.core.house import HouseRules
from tests.core.rows import rows_of

ROWS = {row["id"]: row for row in rows_of("check_values_leak.csv")}
NUMBERS = {key: row for key, row in ROWS.items() if row["tolerance"] != "-"}
YF = FLUIDS["R-1234yf"]
IDEAL = Conditions(ATMOSPHERE, 0.0, "sea level", 0.0, 0.0, 0.0)  # nothing is uncertain
CHARGED = re.compile(r"(R-\w+) ([\d.]+) g in ([\d.]+) L(?: at ([\d.]+) C)?")


def charged(row: dict[str, str]) -> tuple[str, float, float, float]:
    """Refrigerant, g, L, K of a row that names them."""
    said = CHARGED.match(row["inputs"])
    assert said is not None, row
    return said[1], float(said[2]), float(said[3]), celsius(float(said[4] or 0))


def of_the_worked_table(row: dict[str, str]) -> float:
    code, grams, litres, kelvin = charged(row)
    fluid, density = FLUIDS[code], grams / litres
    if row["quantity"] == "temperature above which all is vapour":
        return in_celsius(all_vapour_above(fluid, density))
    if row["quantity"].startswith("vapour mass fraction"):
        return vapour_fraction(fluid, kelvin, density)
    if row["quantity"].startswith("static pressure"):
        return static_pressure(fluid, kelvin, density) / 1000
    return unseen_g(fluid, grams, litres, kelvin)  # L-63, L-64


def published_volume(row: dict[str, str]) -> float:
    """L-73 to L-77: "0.10 MPa 0 C" of a printed table of superheated R-134a, m³/kg."""
    megapascal, _, degrees, _ = row["inputs"].split()
    return 1 / FLUIDS["R-134a"].superheated_density(celsius(float(degrees)), float(megapascal) * 1e6)


def held(start_psig: float, start_c: float, end: Static | None = None, here: Conditions = IDEAL) -> Hold:
    start = Static(start_psig * PSI + ATMOSPHERE, celsius(start_c), here.gauge_step)
    return Hold(YF, 85.05, 0.0, start, end, 15, here)


def expected_later() -> float:
    later = Static(ATMOSPHERE, celsius(26), 0.0)
    expected = see(held(78.24, 30, later)).expected
    assert expected is not None
    return in_psig(expected, ATMOSPHERE)


def free_volume() -> float:
    hold = held(84.0, 30)
    seen = sight(hold, hold.start)
    assert isinstance(seen, Seeing)
    return seen.volume_l


def detection_limit() -> float:
    pressure = static_pressure(YF, celsius(30), 85.05 / 2.5)
    here = Conditions(ATMOSPHERE, 0.0, "sea level", PSI, 0.0, 0.5)
    seen = see(Hold(YF, 85.05, 0.0, Static(pressure, celsius(30), PSI), None, 15, here))
    assert seen.limit_g is not None
    return seen.limit_g


def limit_as_a_rate() -> float:
    pressure = static_pressure(YF, celsius(30), 85.05 / 2.5)
    here = Conditions(ATMOSPHERE, 0.0, "sea level", PSI, 0.0, 0.5)
    rate = see(Hold(YF, 85.05, 0.0, Static(pressure, celsius(30), PSI), None, 15, here)).limit_kg_year
    assert rate is not None
    return rate


SINGLE: dict[str, Callable[[], float]] = {
    "L-56": lambda: slopes(YF, celsius(30), 34.02)[0] / 1000,
    "L-57": lambda: slopes(YF, celsius(30), 85.05 / 2.5)[1] / 2.5 / 1000,  # of a gram: 1/V
    "L-58": lambda: YF.slope(celsius(30)) / 1000,
    "L-59": expected_later,
    "L-60": free_volume,
    "L-65": detection_limit,
    "L-66": limit_as_a_rate,
    "L-67": lambda: 7 / HOURS_A_YEAR / 4 * 1e6,  # µg of 7 g a year in a quarter of an hour
    "L-69": lambda: in_celsius(FLUIDS["R-134a"].temperature(ATMOSPHERE + ENOUGH)),
    "L-79": lambda: YF.vapour_density(celsius(20)),
}


def computed(row: dict[str, str]) -> float:
    if row["id"] in SINGLE:
        return SINGLE[row["id"]]()
    return published_volume(row) if "published table" in row["quantity"] else of_the_worked_table(row)


@pytest.mark.parametrize("row", NUMBERS.values(), ids=list(NUMBERS))
def test_a_figure_from_outside_comes_out_of_our_code(row: dict[str, str]) -> None:
    expected, tolerance = float(row["expected"]), row["tolerance"]
    allowed = float(tolerance.rstrip("%")) * (expected / 100 if tolerance.endswith("%") else 1)
    assert abs(computed(row) - expected) <= allowed


def test_what_service_texts_ask_before_a_search_is_ours() -> None:
    assert ROWS["L-70"]["expected"] == f"{ENOUGH / 1000:.0f}"
    assert "above 16 C" in ROWS["L-70"]["inputs"]
    assert in_celsius(ENOUGH_ABOVE) == pytest.approx(16)


def test_the_detector_is_set_to_one_of_its_standard_scales_until_the_shop_says_otherwise() -> None:
    assert str(HouseRules().detector_g_year) in ROWS["L-71"]["expected"].split(";")


def test_the_detection_factor_is_twice_the_one_sided_95_percent() -> None:
    assert pytest.approx(3.29) == DETECTED


def test_a_quarter_of_an_hour_does_not_even_reach_what_soap_shows() -> None:
    assert limit_as_a_rate() * 1000 > float(ROWS["L-72"]["expected"])
