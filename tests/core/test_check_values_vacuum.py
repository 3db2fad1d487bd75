"""Figures from outside about vacuum (fixtures/check_values_vacuum.csv, each with its source): every row is computed.

The two rows about air that is drawn in check the definition only: nothing in the book turns a rise into a rate.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from compliance.core.evacuation import Vacuum, ratio_of, vacuum
from shop.core.air import FOOT, standard_air, water_boils_at, water_pressure
from shop.core.conditions import conditions
from shop.core.gauge import INHG, MICRON, PSI, celsius, in_celsius
from shop.core.house import house_rules
from tests.core.rows import rows_of

ROWS = {row["id"]: row for row in rows_of("check_values_vacuum.csv")}
YEAR = 365.25 * 86_400  # s
AIR, GAS = 0.028_965, 8.314_462  # kg/mol; J/(mol K)


def read(text: str, feet: int = 0) -> Vacuum:
    reading = vacuum(text, conditions(house_rules([("altitude_ft", str(feet))])))
    assert reading is not None
    return reading


def boils(text: str, feet: int = 0) -> float:
    kelvin = read(text, feet).boils
    assert kelvin is not None
    return in_celsius(kelvin)


def most_inches(feet: int) -> float:
    return standard_air(feet * FOOT) / INHG


def water(degrees: float) -> float:
    return water_pressure(celsius(degrees))


def drawn_in(pascal: float, minutes: float) -> float:
    """kg of air a year into 2.5 L at 20 °C: V dP/dt M / (R T)."""
    return 0.0025 * pascal / (minutes * 60) * AIR / (GAS * 293.15) * YEAR


def vapour(minutes: float, tau: float) -> str:
    """Pressure after so many minutes as vapour comes off with this time constant, from nothing to 10,000 micron."""
    return f"{10_000 * (1 - math.exp(-minutes / tau)):.3f} micron"


def ratio(tau: float) -> float:
    first, middle, last = (read(vapour(at, tau)) for at in (0, 5, 10))
    answer = ratio_of(first, middle, last)
    assert answer is not None
    return answer.value


COMPUTED: dict[str, Callable[[], float]] = {
    "V-01": lambda: standard_air(-500),
    "V-02": lambda: standard_air(0),
    "V-03": lambda: standard_air(500),
    "V-04": lambda: standard_air(1000),
    "V-06": lambda: standard_air(1000 * FOOT) / PSI,
    "V-08": lambda: standard_air(10_000 * FOOT) / PSI,
    "V-09": lambda: most_inches(0),
    "V-11": lambda: most_inches(5000),
    "V-12": lambda: most_inches(7000),
    "V-14": lambda: water(5),
    "V-15": lambda: water(25),
    "V-16": lambda: water(50),
    "V-17": lambda: water(100),
    "V-18": lambda: water(10),
    "V-19": lambda: water(20),
    "V-20": lambda: water(30),
    "V-22": lambda: read("26 inHg").pascal,
    "V-23": lambda: boils("26 inHg"),
    "V-25": lambda: boils("28 inHg"),
    "V-26": lambda: read("29 inHg").pascal,
    "V-27": lambda: boils("29 inHg"),
    "V-28": lambda: read("29.5 inHg").pascal,
    "V-29": lambda: boils("29.5 inHg"),
    "V-31": lambda: boils("1000 micron"),
    "V-32": lambda: in_celsius(water_boils_at(500 * MICRON)),
    "V-33": lambda: read("24 inHg", 5000).pascal,
    "V-34": lambda: boils("24 inHg", 5000),
    "V-36": lambda: (standard_air(0) - water(20)) / INHG,
    "V-37": lambda: drawn_in(INHG, 5),
    "V-38": lambda: drawn_in(100 * MICRON, 10) * 1000,
    "V-39": lambda: ratio(10),
    "V-40": lambda: most_inches(0) - most_inches(1000),
}


def test_every_row_of_the_fixture_is_computed_and_nothing_else() -> None:
    assert sorted(COMPUTED) == sorted(ROWS)


@pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))
def test_a_figure_from_outside_comes_out_of_our_code(row: dict[str, str]) -> None:
    answer, expected, tolerance = COMPUTED[row["id"]](), float(row["expected"]), row["tolerance"]
    allowed = float(tolerance.rstrip("%")) * (expected / 100 if tolerance.endswith("%") else 1)
    assert abs(answer - expected) <= allowed
