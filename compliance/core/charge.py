"""Targets of a charge by can: the leak-test charge, the reading at which to stop, the cans needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from inventory.core.weighing import swapped_digits
from shop.core.findings import Finding, warned
from shop.core.mass import MICROGRAMS, ZERO, Mass, Reading, Unit, grams
from shop.core.phrase import phrase
from shop.core.reading import decimals_of, step_of

SLACK = grams(20)


def leak_test_mass(label: Mass, fraction: Decimal) -> Mass:
    """The leak-test charge as a fraction of the label charge (15 % is common practice, no source), rounded down."""
    return Mass(int(label.ug * fraction))


def remaining(label: Mass, in_vehicle: Mass) -> Mass:
    """What the label still asks for; negative when over."""
    return label - in_vehicle


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


def overcharge(
    reading: Reading, *, in_car: Mass, label: Mass, tolerance: Mass, stop: Mass | None, field: str = "reading"
) -> Finding | None:
    """A reading that would put more into the car than its label allows, and the slip of digits that may explain it.

    ``in_car`` counts this reading; ``stop`` is what the scale should have said. Without a tolerance on the label the
    tool asks from 20 g on (its own choice).
    """
    if in_car <= label + max(tolerance, SLACK):
        return None
    says = {"in_car": in_car.rounded(Unit.G, 0), "label": label.rounded(Unit.G, 0), "reading": reading}
    meant = meant_overcharge(reading, stop=stop, tolerance=tolerance)
    if meant:
        sentence = phrase(
            "That puts {in_car} g in a {label} g car. If the scale says {reading}, this is an overshoot. If it says"
            " {meant} {unit}, fix the number.",
            **says,
            meant=meant,
            unit=reading.unit,
        )
    else:
        sentence = phrase(
            "That puts {in_car} g in a {label} g car. Read the scale again. If it says {reading}, this is an"
            " overshoot: keep it, and see what to do next.",
            **says,
        )
    return warned("overcharge", sentence, field)


def meant_overcharge(reading: Reading, *, stop: Mass | None, tolerance: Mass) -> str:
    """The number with two digits swapped, when that lies at the stop-at reading within the label's tolerance."""
    return swapped_digits(reading, stop, max(tolerance, SLACK).grams) if stop is not None else ""


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
