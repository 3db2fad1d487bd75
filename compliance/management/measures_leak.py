"""What ``bench`` measures of the leak-test hold: its whole answer, against the two densities it cannot do without."""

from __future__ import annotations

from compliance.core.hold_readings import HoldTyped, Unknown, hold_of
from compliance.core.hold_words import leak_answer
from compliance.core.leak import see
from compliance.management.alternating import Measure, alternating
from inventory.core.properties import FLUIDS
from shop.core.conditions import conditions
from shop.core.gauge import ATMOSPHERE, PSI, celsius
from shop.core.house import HouseRules


def leak_measures(rounds: int) -> list[Measure]:
    """A seeing hold with its words, and a blind one, whose warm-up temperatures are searched for."""
    return [
        _answer("leak-test hold, seeing: text to answer, against two densities", "78 psi", "86 °F", rounds),
        _answer("leak-test hold, blind: text to answer, against two densities", "49 psi", "50 °F", rounds),
    ]


def _answer(name: str, pressure: str, temperature: str, rounds: int) -> Measure:
    here, fluid = conditions(HouseRules()), FLUIDS["R-1234yf"]
    typed = HoldTyped("R-1234yf", 15, 85.0, 3.5, pressure, temperature, pressure, temperature)

    def ours() -> object:
        hold = hold_of(typed, here)
        return leak_answer(hold if isinstance(hold, Unknown) else see(hold), 4.0)

    def raw() -> object:
        pascal = 48 * PSI + ATMOSPHERE
        return [
            fluid.superheated_density(celsius(30), pascal),
            fluid.superheated_density(celsius(29), pascal),
        ]

    ours_ms, raw_ms = alternating(ours, raw, rounds)
    return Measure(name, ours_ms, raw_ms, None)
