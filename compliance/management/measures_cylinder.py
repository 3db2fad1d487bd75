"""What the cylinder's answers and the saturation chart cost, against the same arithmetic written out by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal

from compliance.core.bay_chart import bay_chart
from compliance.management.alternating import Measure, alternating
from compliance.pdf.bay_chart import draw_bay_chart
from inventory.core.air_check import AirReadings, air_check
from inventory.core.chart import GASES, chart, rows_in_f
from inventory.core.cylinder import fill_answer, fill_limit
from inventory.core.properties import FLUIDS
from shop.core.conditions import conditions
from shop.core.gauge import ATMOSPHERE, PSI, fahrenheit
from shop.core.house import HouseRules
from shop.core.mass import Mass, Unit, grams

DEGREES = range(131)  # a chart of 131 rows, 0 to 130 °F


def cylinder_measures(rounds: int) -> list[Measure]:
    """One call each. What matters beside a ratio to bare arithmetic: the first three stay under 1 ms."""
    here, water = conditions(HouseRules()), Mass.of("26.2", Unit.LB)
    readings = AirReadings("R-134a", "79 psi", "75 °F", water, grams(5000))
    sheet = bay_chart(chart(here.air), shop="Bench", air=here.air_said)
    asked: list[tuple[str, Callable[[], object], Callable[[], object]]] = [
        ("saturation chart of 131 rows, against the bare formula", _chart, _bare_chart),
        (
            "room of a cylinder with its words, against three products",
            lambda: fill_answer(fill_limit(water, Decimal(80), "R-152a"), held=grams(5000)),
            lambda: min(water.ug * 0.8, water.ug * 0.8 * 0.9004, water.ug * 0.9 * 0.8162),
        ),
        (
            "check for air, against one saturation pressure",
            lambda: air_check(readings, here),
            lambda: FLUIDS["R-134a"].pressure(297.0),
        ),
        ("the bay's sheet as PDF, against its numbers", lambda: draw_bay_chart(sheet), _chart),
    ]
    return [Measure(name, *alternating(ours, raw, rounds), None) for name, ours, raw in asked]


def _chart() -> object:
    return rows_in_f(DEGREES, ATMOSPHERE)


def _bare_chart() -> object:
    """The same numbers in one loop, without ranges, rows or names."""
    rows = []
    for degrees in DEGREES:
        kelvin = fahrenheit(degrees)
        for gas in GASES:
            t_c, p_c, _ = FLUIDS[gas].critical
            t, a = 1 - kelvin / t_c, FLUIDS[gas]._psat
            series = a[0] * t + a[1] * t**1.5 + a[2] * t**2.5 + a[3] * t**5
            rows.append((p_c * math.exp(t_c / kelvin * series) - ATMOSPHERE) / PSI)
    return rows
