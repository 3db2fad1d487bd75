"""Targets of a charge by can: the leak-test charge, the reading at which to stop, the cans needed."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal

from shop.core.mass import MICROGRAMS, ZERO, Mass, Reading, Unit
from shop.core.reading import decimals_of, step_of


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


def cans_needed(target: Mass, *, net: Mass, heel: Mass, losses: Mass) -> int:
    """How many full cans give the target and the losses when each keeps its heel.

    Raises ``ValueError`` when a can's heel is as much as it holds: then no number of cans is enough.
    """
    usable = net - heel
    if usable <= ZERO:
        raise ValueError("a can gives nothing when its heel is its content")
    return max(0, -(-(target + losses).ug // usable.ug))
