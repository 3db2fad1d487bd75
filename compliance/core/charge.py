"""Targets of a charge by can: the leak-test charge, the reading at which to stop, the cans needed."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal

from shop.core.mass import MICROGRAMS, ZERO, Mass, Reading, Unit


def leak_test_mass(label: Mass, fraction: Decimal) -> Mass:
    """The leak-test charge as a fraction of the label charge (15 % is common practice, no source)."""
    return Mass(int(label.ug * fraction))


def remaining(label: Mass, in_vehicle: Mass) -> Mass:
    """What the label still asks for; negative when over."""
    return label - in_vehicle


def stop_at(start: Reading, wanted: Mass, division: Mass) -> Reading | None:
    """The reading at which ``wanted`` has left the can, in the scale's own unit, rounded UP to its division so that the error
    is on the low side. None when the can would have to weigh nothing or less."""
    left = start.mass - wanted
    if left <= ZERO:
        return None
    if start.unit is Unit.LB_OZ:
        return _pounds_and_ounces(left, division)
    step = division.to(start.unit).quantize(Decimal("0.0001")).normalize()
    steps = (left.to(start.unit) / step).quantize(Decimal("0.000001")).to_integral_value(ROUND_CEILING)
    value = steps * step
    places = max(0, -int(step.as_tuple().exponent))
    text = f"{value:.{places}f}"
    return Reading(text, start.unit, Mass.of(text, start.unit))


def _pounds_and_ounces(left: Mass, division: Mass) -> Reading:
    step = division.to(Unit.OZ).quantize(Decimal("0.0001")).normalize()
    steps = (left.to(Unit.OZ) / step).quantize(Decimal("0.000001")).to_integral_value(ROUND_CEILING)
    pounds, ounces = divmod(steps * step, 16)
    places = max(0, -int(step.as_tuple().exponent))
    text = f"{int(pounds)} lb {ounces:.{places}f} oz"
    return Reading(text, Unit.LB_OZ, Mass(int((pounds * 16 + ounces) * MICROGRAMS[Unit.OZ])))


def cans_needed(target: Mass, *, net: Mass, heel: Mass, losses: Mass) -> int:
    """How many full cans give the target and the losses when each keeps its heel."""
    usable = net - heel
    if usable <= ZERO:
        raise ValueError("a can gives nothing when its heel is its content")
    return -(-(target + losses).ug // usable.ug)
