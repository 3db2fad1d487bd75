"""Targets of a charge by can: the leak-test charge, the reading at which to stop, the cans needed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from compliance.core.charge_rules import BESIDE, TERMS
from inventory.core.weighing import typed_facts
from shop.core.findings import Finding
from shop.core.mass import MICROGRAMS, ZERO, Mass, Reading, Unit
from shop.core.reading import decimals_of, read_mass, step_of
from shop.core.rule_rows import Look


def leak_test_mass(label: Mass, fraction: Decimal) -> Mass:
    """The leak-test charge as a fraction of the label charge (15 % is common practice, no source), rounded down."""
    return Mass(int(label.ug * fraction))


def stop_at(start: Reading, wanted: Mass, division: Mass) -> Reading | None:
    """The reading at which ``wanted`` has left the can, in the scale's own unit and decimals.

    Rounded UP to the division (above nothing), so that the error is on the low side. None when the can would have to
    weigh nothing or less.
    """
    left = start.mass - wanted
    if left <= ZERO:
        return None
    unit = Unit.OZ if start.unit is Unit.LB_OZ else start.unit
    step, places = step_of(division, start.unit), decimals_of(division, start.unit)
    # One microgram less: the start and what is wanted were each rounded to the microgram when they were read.
    steps = (Decimal(left.ug - 1) / (step * MICROGRAMS[unit])).to_integral_value(ROUND_CEILING)
    number = steps * step
    mass = Mass.of(number, unit)
    if start.unit is Unit.LB_OZ:
        pounds, ounces = divmod(number, 16)
        return Reading(f"{int(pounds)} lb {ounces:.{places}f} oz", Unit.LB_OZ, mass)
    return Reading(f"{number:.{places}f}", start.unit, mass)


def with_the_car(
    found: Sequence[Finding], reading: Reading, *, shows: Mass | None, facts: Mapping[str, object]
) -> list[Finding]:
    """What was ``found`` of the can alone, whether the scale can show the number at all, and, when nothing blocks, what
    the reading says of the car and of other cans.

    ``shows`` is the division of a scale that shows the reading's own unit; ``facts`` are those of ``BESIDE``.
    """
    said = list(found)
    if shows is not None and not any(one.code == "unit-slip" for one in said):
        said += read_mass(reading.text, reading.unit, division=shows)[1]
    if any(one.blocks for one in said):
        return said
    return said + Look(TERMS, {**typed_facts(reading), **facts}).judge(BESIDE)


@dataclass(frozen=True, slots=True)
class Take:
    """One can of the plan: what to take from it; ``heel`` says that it will then be empty."""

    code: str
    mass: Mass
    empties: bool


def plan(wanted: Mass, cans: Sequence[tuple[str, Mass]]) -> tuple[Take, ...]:
    """Which cans to take next, in the order given: (code, what it can give). Stops when it is enough."""
    takes = []
    for code, gives in cans:
        if wanted <= ZERO:
            break
        if gives <= ZERO:
            continue
        take = min(gives, wanted)
        takes.append(Take(code, take, empties=take == gives))
        wanted -= take
    return tuple(takes)


def cans_needed(target: Mass, *, net: Mass, heel: Mass, losses: Mass) -> int:
    """How many full cans give the target and the losses when each keeps its heel.

    Raises ``ValueError`` when a can's heel is as much as it holds: then no number of cans is enough.
    """
    usable = net - heel
    if usable <= ZERO:
        raise ValueError("a can gives nothing when its heel is its content")
    return max(0, -(-(target + losses).ug // usable.ug))
