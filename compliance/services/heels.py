"""The heel of an emptied can: recovered into a cylinder by weight, after which the can's use is over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.ledger import Leg, Purpose
from inventory.core.requalification import filling_findings
from inventory.models import Container, Fate, Movement
from inventory.posting import post
from inventory.queries import containers, cylinder_room, last_ticket
from inventory.services import TicketIn, end_use, weigh
from inventory.services.holds import not_to_be_used, waits_already
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass, Unit, grams
from shop.core.phrase import phrase
from shop.models import Person
from shop.queries import rules_on, work_day


@dataclass(frozen=True, slots=True)
class HeelIn:
    """The can's weight after its heel was recovered; what was in it goes into the cylinder. ``all_of_it``: it was more
    than a heel, and all of it was taken out on purpose."""

    cylinder: Container
    empty: TicketIn
    all_of_it: bool = False


@transaction.atomic
def recover_heel(can: Container, heel: HeelIn, *, on: date, at: datetime, by: Person) -> Fate:
    """Move a can's heel into a recovery cylinder of the same refrigerant and end the can's use.

    What the book still has in the can beyond the weighed heel is fill difference. Refused for a can with more than
    the shop's heel limit in it, unless all of it was taken out on purpose and the cylinder has room for it; also for a
    sealed can, another refrigerant, or a can that hangs on a car.
    """
    held = Movement.objects.balances([can.code])[can.code]
    last = last_ticket(can)
    refuse_if_blocked(_heel_problems(can, heel, held, on, by))
    weighed = max(last.gross - heel.empty.reading.mass, ZERO) if last is not None else ZERO
    legs = []
    if weighed > held:
        legs.append(Leg("fill difference", can.code, weighed - held, Purpose.FILL))
    if weighed > ZERO:
        legs.append(Leg(can.code, heel.cylinder.code, weighed, Purpose.HEEL))
    if held > weighed:
        legs.append(Leg(can.code, "fill difference", held - weighed, Purpose.FILL))
    post(can.establishment, legs, on=on, text=f"Heel of {can.code} into {heel.cylinder.code}", at=at, by=by)
    weigh(can, heel.empty, at=at, by=by)
    return end_use(can, Fate.What.EMPTIED, why=f"heel into {heel.cylinder.code}", at=at, by=by)


def _heel_problems(can: Container, heel: HeelIn, held: Mass, on: date, by: Person) -> list[Finding]:
    found = list(work_day(by, on).findings)
    limit = grams(rules_on(can.establishment, on).heel_limit_g)
    last = last_ticket(can)
    if last is None:
        found.append(blocked("can-sealed", phrase("{can} was never opened.", can=can.code), "empty"))
    if hasattr(can, "on_the_car"):
        found.append(
            blocked(
                "can-on-the-car",
                phrase("{can} is on {job}. Finish there first.", can=can.code, job=can.on_the_car.job),
                "",
            )
        )
    else:
        found += waits_already(can)
    if hasattr(can, "fate"):
        found.append(blocked("use-ended", phrase("The use of {can} has already ended.", can=can.code), ""))
    found += [*not_to_be_used(can, ""), *not_to_be_used(heel.cylinder, "cylinder")]
    if held > limit and not heel.all_of_it:
        sentence = phrase(
            "{can} still holds {held} g by the book, more than a heel ({limit} g). Use it on a car, or say that all"
            " of it was taken out.",
            can=can.code,
            held=held.rounded(Unit.G, 0),
            limit=limit.rounded(Unit.G, 0),
        )
        found.append(blocked("more-than-a-heel", sentence, "empty"))
    elif held > limit:
        found += no_room(heel.cylinder, held, on)
    mixed = hasattr(heel.cylinder, "mixed")
    if mixed or heel.cylinder.kind != "cylinder" or heel.cylinder.refrigerant_id != can.refrigerant_id:
        sentence = phrase(
            "{cylinder} does not take {can}.", cylinder=heel.cylinder.code, can=can.refrigerant_id
        )
        found.append(blocked("cylinder-refrigerant", sentence, "cylinder"))
    elif hasattr(heel.cylinder, "cylinder"):
        years = rules_on(can.establishment, on).cylinder_years
        stamped = heel.cylinder.cylinder.requalified_on
        found += filling_findings(heel.cylinder.code, stamped, years, on, "cylinder")
    if last is not None and heel.empty.reading.mass > last.gross + last.division * 2:
        found.append(
            blocked("heel-gained", phrase("{can} got heavier. Weigh it again.", can=can.code), "empty")
        )
    return found


def no_room(cylinder: Container, mass: Mass, on: date) -> list[Finding]:
    """A heel always finds room in a cylinder that is not over its limit; half a can may not."""
    mine = containers(cylinder.establishment).select_related("cylinder", "mixed")
    asked = mine.filter(pk=cylinder.pk, kind="cylinder").first()
    if asked is None:
        return []
    room = cylinder_room(asked, rules_on(cylinder.establishment, on))
    if mass <= room.left:
        return []
    sentence = phrase(
        "{cylinder} has room for {left} g, not for {mass} g. Take another cylinder.",
        cylinder=cylinder.code,
        left=room.left.rounded(Unit.G, 0),
        mass=mass.rounded(Unit.G, 0),
    )
    return [blocked("cylinder-full", sentence, "cylinder")]
