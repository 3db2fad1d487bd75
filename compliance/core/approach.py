"""Gauge pressures as temperatures of the refrigerant, and how far they lie from the outdoor air. No verdict."""

from __future__ import annotations

from compliance.core.final_readings import Typed, Worked, readings, typed_problems, work_out
from compliance.core.final_words import EVIDENCE, degrees, saturation_numbers
from inventory.core.properties import EQUATIONS, Fluid
from shop.core.answer import Answer, answer_of, unknown
from shop.core.conditions import Conditions
from shop.core.findings import Weight
from shop.core.phrase import phrase

BASIS = phrase("Saturation temperatures by {equations}", equations=EQUATIONS)


def approach_answer(typed: Typed, fluid: Fluid | None, here: Conditions, unit: str = "°F") -> Answer:
    """In words: condensing and evaporating with their doubt; readings that do not go together are said first."""
    for problem in typed_problems(typed)[:1]:
        return answer_of(problem)
    if fluid is None:
        return unknown(phrase("There are no property equations for this refrigerant here."))
    worked = work_out(readings(typed, here), fluid, here)
    numbers = tuple(saturation_numbers(worked, unit))
    if not numbers:
        return unknown(phrase("The pressures lie outside what the equations cover."), basis=BASIS)
    says = [one.message for one in worked.findings]
    headline = says.pop(0) if says else _headline(worked, unit)
    return Answer(
        headline,
        (*says, EVIDENCE),
        numbers,
        Weight.WARNS if worked.findings else Weight.NOTE,
        BASIS,
        judges=bool(worked.findings),
    )


def _headline(worked: Worked, unit: str) -> str:
    low, high = (
        degrees(kelvin, unit) if kelvin is not None else ""
        for kelvin in (worked.evaporating, worked.condensing)
    )
    if low and high:
        return phrase("Condensing at {high}, evaporating at {low}.", high=high, low=low)
    return phrase("Condensing at {high}.", high=high) if high else phrase("Evaporating at {low}.", low=low)
