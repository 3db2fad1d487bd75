"""What ``bench`` measures of vacuum: the answer to three readings, against the bare formulas."""

from __future__ import annotations

from compliance.core.evacuation import VacuumReadings, told
from compliance.core.evacuation_words import evacuation_answer
from compliance.management.alternating import Measure, alternating
from shop.core.air import water_boils_at
from shop.core.conditions import conditions
from shop.core.gauge import MICRON
from shop.core.house import HouseRules

TIMES = 100  # a single one is too short for the clock


def vacuum_measures(rounds: int) -> list[Measure]:
    """Milliseconds for one hundred answers; nothing is read from a database."""
    here = conditions(HouseRules())
    readings = VacuumReadings("600 micron", "600 micron", "690 micron", "720 micron", 15, temperature="78 °F")

    def ours() -> None:
        for _ in range(TIMES):
            evacuation_answer(told(readings, here))

    def raw() -> None:
        for _ in range(TIMES):
            water_boils_at(600 * MICRON), (720 - 690) / (690 - 600)

    ours_ms, raw_ms = alternating(ours, raw, rounds)
    return [
        Measure(f"{TIMES} answers to three vacuum readings, against the bare formulas", ours_ms, raw_ms, None)
    ]
