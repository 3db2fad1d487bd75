"""Cans and hoses against figures from outside (fixtures/check_values_can.csv): every row is computed by our own code.

K-30, the storage limit of 125 °F printed on cans, has no tolerance to compare within: a test of its own holds it.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from inventory.core.can import (
    CAN_LIMIT,
    SmallCan,
    chilled,
    heat_needed,
    kept_warm,
    smallest_volume,
    unheated,
    vapour_held,
)
from inventory.core.hose import HoseEnd, HoseJob, hose_held, hose_volume
from inventory.core.properties import FLUIDS
from shop.core.gauge import ATMOSPHERE, PSI, celsius, fahrenheit, in_celsius, in_psig
from shop.core.mass import ounces
from tests.core.rows import rows_of

ROWS = {row["id"]: row for row in rows_of("check_values_can.csv")}
INCH = 0.0254  # m, exact
SYSTEM = 0.0025  # m³
CANS = {  # as the rows name them
    "R-1234yf": SmallCan("R-1234yf", ounces(8).grams / 1000, 0.085, 255e-6),
    "R-134a": SmallCan("R-134a", ounces(12).grams / 1000, 0.110, 347e-6),
}
ROOMY = 3.0  # kg: the rows about equalisation ask for no can's end


def hose(code: str, end: HoseEnd) -> float:
    return 1000 * hose_held(HoseJob(code, 36 * INCH, 0.25 * INCH, end, celsius(20), ATMOSPHERE))


def heel(code: str) -> float:
    held = vapour_held(code, 255e-6, celsius(20), ATMOSPHERE + 30 * PSI)
    assert held is not None
    return 1000 * held


def gauge(code: str, degrees: float) -> float:
    return in_psig(FLUIDS[code].pressure(fahrenheit(degrees)), ATMOSPHERE)


def equalised(code: str, degrees: float) -> float:
    stall = kept_warm(SmallCan(code, ROOMY, 0.1, 4e-3), celsius(degrees), celsius(degrees), SYSTEM)
    assert stall is not None
    return 1000 * stall.drawn


def cold_after_40(code: str) -> float:
    kelvin = chilled(CANS[code], celsius(20), 0.040)
    assert kelvin is not None
    return in_celsius(kelvin)


def stalled(code: str, degrees: float) -> float:
    stall = unheated(CANS[code], celsius(degrees), celsius(degrees), SYSTEM)
    assert stall is not None
    return 1000 * stall.drawn


COMPUTED: dict[str, Callable[[], float]] = {
    "C-01": lambda: 1e6 * hose_volume(36 * INCH, 0.25 * INCH),
    "C-02": lambda: 1e6 * hose_volume(72 * INCH, 0.19 * INCH),
    "C-03": lambda: hose("R-1234yf", HoseEnd.LIQUID),
    "C-04": lambda: hose("R-1234yf", HoseEnd.SATURATED),
    "C-05": lambda: heel("R-1234yf"),
    "C-09": lambda: heel("R-134a"),
    "C-11": lambda: hose("R-152a", HoseEnd.LIQUID),
    "C-12": lambda: hose("R-152a", HoseEnd.SATURATED),
    "C-13": lambda: heel("R-152a"),
    "C-14": lambda: 1e6 * smallest_volume("R-152a", ounces(8).grams / 1000),
    "K-01": lambda: gauge("R-1234yf", 125),
    "K-02": lambda: gauge("R-1234yf", 130),
    "K-03": lambda: FLUIDS["R-1234yf"].pressure(celsius(52)) / 1000,
    "K-05": lambda: equalised("R-1234yf", 10),
    "K-06": lambda: equalised("R-1234yf", 20),
    "K-07": lambda: equalised("R-1234yf", 30),
    "K-08": lambda: FLUIDS["R-1234yf"].heat_of_vaporisation(celsius(20)) / 1000,
    "K-09": lambda: gauge("R-134a", 125),
    "K-10": lambda: gauge("R-134a", 130),
    "K-11": lambda: FLUIDS["R-134a"].pressure(celsius(52)) / 1000,
    "K-13": lambda: equalised("R-134a", 10),
    "K-15": lambda: equalised("R-134a", 30),
    "K-16": lambda: FLUIDS["R-134a"].heat_of_vaporisation(celsius(20)) / 1000,
    "K-18": lambda: gauge("R-152a", 130),
    "K-19": lambda: FLUIDS["R-152a"].pressure(celsius(52)) / 1000,
    "K-20": lambda: equalised("R-152a", 0),
    "K-21": lambda: equalised("R-152a", 10),
    "K-22": lambda: equalised("R-152a", 20),
    "K-24": lambda: FLUIDS["R-152a"].heat_of_vaporisation(celsius(20)) / 1000,
    "K-25": lambda: cold_after_40("R-1234yf"),
    "K-26": lambda: cold_after_40("R-134a"),
    "K-28": lambda: stalled("R-1234yf", 10),
    "K-29": lambda: heat_needed("R-1234yf", 0.08505, celsius(20)) / 1000,
}


def test_every_row_of_the_fixture_is_computed_and_nothing_else() -> None:
    assert sorted(COMPUTED) == sorted(ROWS)


@pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))
def test_a_figure_from_outside_comes_out_of_our_code(row: dict[str, str]) -> None:
    expected, tolerance = float(row["expected"]), row["tolerance"]
    allowed = float(tolerance.rstrip("%")) * (expected / 100 if tolerance.endswith("%") else 1)
    assert abs(COMPUTED[row["id"]]() - expected) <= allowed


def test_the_limit_is_the_125_fahrenheit_printed_on_cans() -> None:
    assert pytest.approx(fahrenheit(125)) == CAN_LIMIT  # K-30, from memory
