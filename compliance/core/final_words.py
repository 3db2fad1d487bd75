"""The final readings in words: what was worked out, the maker's table where there is one, the car's own history.

Never a pass: without a maker's table there is no verdict, and with one it speaks of the table, not of the charge.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compliance.core.final_readings import Worked
from compliance.core.makers_table import Compared, MakersTable, Place, Quantity
from inventory.core.properties import EQUATIONS
from shop.core.answer import Answer
from shop.core.conditions import Conditions
from shop.core.findings import Weight
from shop.core.gauge import ATMOSPHERE, PRESSURE_UNITS, in_celsius, in_fahrenheit, rounded
from shop.core.phrase import joined, phrase

EVIDENCE = phrase("The weighed mass is the evidence of charge; pressures are not.")
BASIS = phrase("ASHRAE Fundamentals 2017 chapter 1 for the air; {equations}", equations=EQUATIONS)
TWICE = 2
NOTHING_TELLS = phrase("Pressures and vent temperature do not tell a charge.")


def final_answer(
    worked: Worked,
    compared: Sequence[tuple[MakersTable, Compared]],
    history: Sequence[tuple[str, str]],
    here: Conditions,
    unit: str = "°F",
) -> Answer:
    """``unit`` is what temperatures are told in; ``history`` are this vehicle's earlier readings, label and text."""
    says = [one.message for one in worked.findings]
    judged = [one for _, one in compared if one.place is not Place.NONE]
    says += [table_line(table, one, here) for table, one in compared]
    says += [
        phrase("Table: {source}.", source=source)
        for source in dict.fromkeys(table.typed.source for table, _ in compared)
    ]
    outside = any(one.place is Place.OUTSIDE for one in judged)
    headline = says.pop(0) if worked.findings else _headline(judged)
    return Answer(
        headline,
        (*says, EVIDENCE),
        (*_numbers(worked, here, unit), *history),
        Weight.WARNS if worked.findings or outside else Weight.NOTE,
        BASIS,
        judges=bool(judged),
    )


def _headline(judged: Sequence[Compared]) -> str:
    if not judged:
        return NOTHING_TELLS
    if any(one.place is Place.OUTSIDE for one in judged):
        return phrase("Not all readings lie inside the maker's band.")
    if any(one.place is Place.EDGE for one in judged):
        return phrase("Readings lie at the edge of the maker's band; the gauges cannot say on which side.")
    return phrase("The readings lie inside the maker's band.")


def table_line(table: MakersTable, one: Compared, here: Conditions) -> str:
    """One reading against the table in one sentence, in the units of the table as this shop's gauge shows them."""
    if one.low is None or one.high is None:
        return phrase("{quantity}: no verdict, {because}.", quantity=one.quantity, because=one.because)
    return phrase(
        "{quantity} {value}: {place}, {low} to {high}.",
        quantity=one.quantity,
        value=in_table(table, one.quantity, one.value, here.air),
        place=one.place,
        low=in_table(table, one.quantity, one.low, here.air),
        high=in_table(table, one.quantity, one.high, here.air),
    )


def in_table(table: MakersTable, quantity: Quantity, value: float, air: float) -> str:
    """A reading (K or Pa absolute) in the unit that the table is typed in, as a gauge under this air shows it."""
    if quantity is Quantity.VENT:
        return degrees(value, table.typed.temperature_unit)
    unit = table.typed.pressure_unit
    pascal = PRESSURE_UNITS[unit.lower()][1]
    return f"{rounded((value - air) / pascal, 2 if unit == 'bar' else 0)} {unit}"


def degrees(kelvin: float, unit: str) -> str:
    """A temperature in whole °F, or °C to a tenth."""
    return (
        f"{rounded(in_celsius(kelvin), 1)} °C" if unit == "°C" else f"{rounded(in_fahrenheit(kelvin), 0)} °F"
    )


def degrees_apart(kelvin: float, unit: str) -> str:
    """A difference of temperatures; a small one in °F to a tenth, so that no doubt is said to be nothing."""
    if unit == "°C":
        return f"{rounded(kelvin, 1)} °C"
    return f"{rounded(1.8 * kelvin, 1 if abs(1.8 * kelvin) < 1 else 0)} °F"


def saturation_numbers(worked: Worked, unit: str) -> Iterator[tuple[str, str]]:
    """Condensing, how far above the outdoor air, evaporating: each with twice its standard uncertainty."""
    for label, kelvin, u in (
        (phrase("Condensing at"), worked.condensing, worked.u_condensing),
        (phrase("Evaporating at"), worked.evaporating, worked.u_evaporating),
    ):
        if kelvin is not None:
            yield label, _give(degrees(kelvin, unit), degrees_apart(TWICE * u, unit))
    if worked.approach is not None:
        apart = _give(degrees_apart(worked.approach, unit), degrees_apart(TWICE * worked.u_approach, unit))
        yield phrase("Condensing above outdoor air by"), apart
    vent = worked.readings.vent
    if vent is not None and worked.evaporating is not None:
        yield phrase("Vent above evaporating by"), degrees_apart(vent - worked.evaporating, unit)


def _numbers(worked: Worked, here: Conditions, unit: str) -> Iterator[tuple[str, str]]:
    yield from saturation_numbers(worked, unit)
    if worked.heat is not None:
        give = phrase(
            "{heat} kJ/kg of dry air, give or take {give}",
            heat=rounded(worked.heat / 1000, 0),
            give=rounded(TWICE * worked.u_heat / 1000, 0),
        )
        yield phrase("Heat taken from the air"), give
    if abs(here.air - ATMOSPHERE) > 100:
        yield phrase("Air here"), here.air_said


def _give(value: str, twice: str) -> str:
    return joined(", ", [value, phrase("give or take {twice}", twice=twice)])
