"""From a reconciled job to the movements of the refrigerant book."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compliance.core.reconcile import Draw, Reconciliation
from inventory.core.ledger import Leg, Purpose, share_out
from shop.core.mass import ZERO, Mass, total


@dataclass(frozen=True, slots=True)
class CylinderIn:
    """What went into one cylinder: out of the car as it came, or ``back`` out of the charge of this job; ``mixed``
    when it left the car as nobody knows what."""

    cylinder: str
    mass: Mass
    back: bool
    mixed: bool = False


@dataclass(frozen=True, slots=True)
class CanBook:
    """What the book says of a can before the job, and whether it was emptied. A sealed can that was light came
    ``short`` or ``leaked`` on the shelf; ``waited`` is what it lost on this job with its tap on."""

    code: str
    book: Mass
    emptied: bool
    short: Mass = ZERO
    leaked: Mass = ZERO
    waited: Mass = ZERO


def legs_for(
    sums: Reconciliation | None, cans: Sequence[CanBook], cylinders: Sequence[CylinderIn]
) -> tuple[Leg, ...]:
    """The movements of one job, in an order in which no can is ever short.

    A can that gave more than its label said gets the fill difference first. A can that was emptied is brought to its
    weighed heel. What the cans gave is poured into vehicle, cylinders, hoses and air, to the microgram.
    """
    legs = [
        Leg("vehicles", one.cylinder, one.mass, Purpose.RECOVERED)
        for one in cylinders
        if (one.mixed or not one.back) and one.mass > ZERO
    ]
    if sums is None:
        return tuple(legs)
    book = {can.code: can for can in cans}
    legs += [leg for draw in sums.draws for leg in _light(book[draw.code])]
    legs += [leg for draw in sums.draws for leg in _filled_up(draw, book[draw.code])]
    back = [
        (one.cylinder, Purpose.RECOVERED_BACK, one.mass) for one in cylinders if one.back and not one.mixed
    ]
    left_mixed = ZERO
    if any(one.back and one.mixed for one in cylinders):
        left_mixed = sums.losses.recovered_back - total(mass for _, _, mass in back)
    waited = total(can.waited for can in cans)
    legs += [Leg(can.code, "air", can.waited, Purpose.RELEASED) for can in cans if can.waited > ZERO]
    legs += share_out(
        [(draw.code, draw.out - book[draw.code].waited) for draw in sums.draws if draw.out > ZERO],
        [
            ("vehicles", Purpose.CHARGED, sums.vehicle + left_mixed),
            *back,
            ("hoses", Purpose.HOSES, sums.losses.hoses),
            ("air", Purpose.PURGED, sums.losses.purge),
            ("air", Purpose.RELEASED, sums.losses.released - waited),
        ],
    )
    legs += [leg for draw in sums.draws for leg in _brought_to_heel(draw, book[draw.code])]
    return tuple(legs)


def _light(can: CanBook) -> list[Leg]:
    legs = []
    if can.short > ZERO:
        legs.append(Leg(can.code, "fill difference", can.short, Purpose.FILL))
    if can.leaked > ZERO:
        legs.append(Leg(can.code, "air", can.leaked, Purpose.RELEASED))
    return legs


def _filled_up(draw: Draw, can: CanBook) -> list[Leg]:
    short = draw.out - (can.book - can.short - can.leaked)
    return [Leg("fill difference", draw.code, short, Purpose.FILL)] if short > ZERO else []


def _brought_to_heel(draw: Draw, can: CanBook) -> list[Leg]:
    if not can.emptied:
        return []
    left = max(can.book - can.short - can.leaked - draw.out, ZERO)
    heel = max(draw.heel, ZERO)
    if heel > left:
        return [Leg("fill difference", draw.code, heel - left, Purpose.FILL)]
    return [Leg(draw.code, "fill difference", left - heel, Purpose.FILL)] if heel < left else []
