"""Somebody leaves. Access ends, nothing that they signed or hold is taken from the books."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from shop.core.days import said_day
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import AuditNote, AuthorisationEnd, BuyerEnd, Leaving, Person
from shop.services.people import last_owner, shut_out


@dataclass(frozen=True, slots=True)
class LeavingIn:
    """The last day, and whether they may sign on up to its end or no more from now on."""

    last_day: date
    at_once: bool


@transaction.atomic
def leave_shop(person: Person, leaving: LeavingIn, *, today: date, at: datetime, by: Person) -> Leaving:
    """Write down that somebody leaves: authorisation and buying end with the last day, the sign-on now or that night.

    Cards and everything they signed stay, since jobs stand on them; a new password lets them back in.
    """
    person = Person.objects.select_for_update(no_key=True).get(pk=person.pk)
    running = list(person.authorisations.filter(end=None).order_by("first_day"))
    found = last_owner(person, "last_day")
    if not person.is_active or person.leaves_on is not None:
        found.append(
            blocked("left-already", phrase("{name} has left, or a last day is set.", name=person.name))
        )
    if running and leaving.last_day < running[-1].first_day:
        sentence = phrase(
            "{name} is authorised from {first} on. The last day cannot be before it.",
            name=person.name,
            first=said_day(running[-1].first_day),
        )
        found.append(blocked("ends-before-start", sentence, "last_day"))
    refuse_if_blocked(found)
    for one in running:
        AuthorisationEnd.objects.create(authorisation=one, last_day=leaving.last_day, at=at, by=by)
    for buyer in person.buying.filter(end=None):
        last_day = max(leaving.last_day, buyer.first_day)
        BuyerEnd.objects.create(buyer=buyer, last_day=last_day, at=at, by=by)
    at_once = leaving.at_once or leaving.last_day < today
    if at_once:
        shut_out(person, at=at, by=by)
    else:
        person.leaves_on = leaving.last_day
        person.save(update_fields=["leaves_on"])
        AuditNote.objects.create(
            by=by,
            at=at,
            about=f"person {person.username}",
            was="may sign on",
            now=f"until {leaving.last_day.isoformat()}",
        )
    return Leaving.objects.create(person=person, last_day=leaving.last_day, at_once=at_once, at=at, by=by)


def end_due_sign_ons(*, today: date, at: datetime) -> list[Person]:
    """The night has come for those whose last day is over. Whoever wrote the leaving down stands in the note."""
    due = list(Person.objects.filter(is_active=True, leaves_on__lt=today))
    for person in due:
        written = person.leavings.last()
        shut_out(person, at=at, by=written.by if written is not None else person)
    return due
