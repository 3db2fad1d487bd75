"""A can that nobody may use is emptied all the same: refused as damaged, or found and not accepted by the owner."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from compliance.services.heels import no_room
from inventory.core.ledger import Leg, Purpose
from inventory.core.refrigerants import UNKNOWN
from inventory.core.requalification import filling_findings
from inventory.models import Container, Entry, Fate, FoundCan, Movement
from inventory.posting import post
from inventory.services import TicketIn, end_use, weigh
from inventory.services.holds import not_to_be_used
from inventory.services.weighing import reading_problems
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass
from shop.core.phrase import phrase
from shop.models import Person
from shop.queries import rules_on, work_day


@dataclass(frozen=True, slots=True)
class EmptyingIn:
    """Both weights of the can; their difference is what went into the cylinder."""

    cylinder: Container
    before: TicketIn
    after: TicketIn

    @property
    def out(self) -> Mass:
        return self.before.reading.mass - self.after.reading.mass


def is_refused(can: Container) -> bool:
    """Whether it was refused and is still here."""
    if not hasattr(can, "fate") or can.fate.what != Fate.What.REFUSED:
        return False
    return not hasattr(can, "given_back") and not hasattr(can.delivered.line.delivery, "undone")


def is_of_unknown_origin(can: Container) -> bool:
    """Whether it was found and the owner has not accepted it."""
    return not hasattr(can, "fate") and FoundCan.objects.filter(container=can, accepted=None).exists()


@transaction.atomic
def empty_unusable(can: Container, emptying: EmptyingIn, *, on: date, at: datetime, by: Person) -> Entry:
    """Move what was in the can into a cylinder for unknown refrigerant: nobody answers for what it is.

    What a found can brought into the book as a difference goes back the same way first. A refused can is the
    supplier's, and so is what comes out of it; the can stays refused. Raises ``Refused`` for a can that may be used,
    for a cylinder kept for anything else, without room or past its stamp, and for who holds no card in force.
    """
    can = Container.objects.select_for_update(no_key=True, of=("self",)).get(pk=can.pk)
    refuse_if_blocked(_problems(can, emptying, on, by))
    held, found = Movement.objects.balances([can.code])[can.code], is_of_unknown_origin(can)
    legs = [Leg(can.code, "unexplained", held, Purpose.COUNTED)] if held > ZERO else []
    legs.append(
        Leg("unexplained" if found else "supplier", emptying.cylinder.code, emptying.out, Purpose.HEEL)
    )
    text = f"{can.code} ({'found' if found else 'refused'}) emptied into {emptying.cylinder.code}"
    entry = post(can.establishment, legs, on=on, text=text, at=at, by=by)
    for ticket in (emptying.before, emptying.after):
        weigh(can, ticket, at=at, by=by)
    if found:
        why = f"origin unknown, into {emptying.cylinder.code}"
        end_use(can, Fate.What.EMPTIED, why=why, at=at, by=by)
    return entry


def _problems(can: Container, emptying: EmptyingIn, on: date, by: Person) -> list[Finding]:
    if not is_refused(can) and not is_of_unknown_origin(can):
        sentence = phrase("{can} is neither refused nor of unknown origin, or it is gone.", can=can.code)
        return [blocked("may-be-used", sentence)]
    mine = [one for one in not_to_be_used(can, "") if one.code != "found-not-accepted"]
    found = [*work_day(by, on).findings, *mine, *_cylinder_problems(emptying, on)]
    for field, ticket in (("before", emptying.before), ("after", emptying.after)):
        found += [one for one in reading_problems(can, ticket, field=field) if one.blocks]
    if emptying.out <= ZERO:
        sentence = phrase("{can} did not get lighter, so nothing came out. Weigh it again.", can=can.code)
        found.append(blocked("nothing-came-out", sentence, "after"))
    return found


def _cylinder_problems(emptying: EmptyingIn, on: date) -> list[Finding]:
    cylinder = emptying.cylinder
    found = not_to_be_used(cylinder, "cylinder")
    named = UNKNOWN if hasattr(cylinder, "mixed") else cylinder.refrigerant_id
    if cylinder.kind != "cylinder" or named != UNKNOWN or hasattr(cylinder, "fate"):
        sentence = phrase(
            "Nobody answers for what is in it: into a cylinder kept for unknown refrigerant, never into {cylinder}.",
            cylinder=cylinder.code,
        )
        return [*found, blocked("unknown-into-good", sentence, "cylinder")]
    years = rules_on(cylinder.establishment, on).cylinder_years
    stamped = cylinder.cylinder.requalified_on
    found += filling_findings(cylinder.code, stamped, years, on, "cylinder")
    return found + no_room(cylinder, emptying.out, on)
