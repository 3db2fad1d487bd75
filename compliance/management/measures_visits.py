"""What ``bench`` measures of visits and final readings: each answer against its bare formula."""

from __future__ import annotations

import math

from compliance.core.final_readings import Typed, readings, work_out
from compliance.core.final_words import final_answer
from compliance.core.leak_rate import Filled, Found, Recovering, SinceLast, leak_rate
from compliance.core.leak_words import leak_rate_answer
from compliance.core.makers_table import Quantity, compared, makers_table
from compliance.management.alternating import Measure, alternating
from compliance.management.practice_tables import TABLE
from inventory.core.properties import FLUIDS
from shop.core.conditions import conditions
from shop.core.house import HouseRules
from shop.core.mass import grams

TIMES = 200  # in one round, so that a clock can see it


def visit_measures(rounds: int) -> list[Measure]:
    """Milliseconds of 200 answers, and of 200 bare formulas."""
    label = grams(567)
    since = SinceLast(
        Filled("J", label, 2.7, "R-134a", label),
        Found(grams(510), 3.0, "R-134a", label),
        400,
        Recovering(0.97, 0.015, ""),
    )
    here, fluid = conditions(HouseRules()), FLUIDS["R-134a"]
    typed = Typed("44 °F", "78 °F", "84 °F", "38 % RH", "31 psi", "165 psi")
    table, _ = makers_table(TABLE)
    assert table is not None  # noqa: S101

    def rate() -> None:
        for _ in range(TIMES):
            leak_rate_answer(leak_rate(since))

    def bare_rate() -> None:
        for _ in range(TIMES):
            u = math.hypot(2.7, 3 / 0.97, 510 * 0.015 / 0.97**2)
            (567 - 510 / 0.97) * 365.25 / 400, u * 365.25 / 400

    def final() -> None:
        for _ in range(TIMES):
            worked = work_out(readings(typed, here), fluid, here)
            read = worked.readings
            vent = compared(table, Quantity.VENT, read.vent or 0, 0.6, at=read.inlet, humidity=read.humidity)
            final_answer(worked, [(table, vent)], [], here)

    def bare_final() -> None:
        for _ in range(TIMES):
            fluid.temperature(1_239_000.0), fluid.temperature(315_000.0)

    return [
        Measure(
            f"{TIMES} leak rates in words, against the formula", *alternating(rate, bare_rate, rounds), None
        ),
        Measure(
            f"{TIMES} final readings in words, against two boiling points",
            *alternating(final, bare_final, rounds),
            None,
        ),
    ]
