"""A can with no number that turned up: it gets one, and what it holds is a difference until somebody knows better."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.ending import heel_of
from inventory.core.ledger import Leg, Purpose
from inventory.core.weighing import CanKind, Ticket, ticket_problems
from inventory.models import ContainerType, FoundCan, FoundCanAccepted
from inventory.posting import post
from inventory.services.holds import why_problems
from inventory.services.stocking import number_cans
from inventory.services.weighing import TicketIn, weigh
from shop.core.findings import Finding, blocked, refuse_if_blocked, refuse_unless_seen
from shop.core.mass import ZERO
from shop.core.phrase import phrase
from shop.models import Establishment, Person
from shop.services.cleaning import CleanPhoto


@dataclass(frozen=True, slots=True)
class FoundIn:
    """``printed`` is what tells its refrigerant and kind, as read on it."""

    type: ContainerType
    printed: str
    where: str
    ticket: TicketIn
    lot: str = ""
    photo: CleanPhoto | None = None


@transaction.atomic
def find_can(
    found: FoundIn,
    establishment: Establishment,
    *,
    seen: tuple[str, ...] = (),
    on: date,
    at: datetime,
    by: Person,
) -> FoundCan:
    """Number a found can and book what it holds from "unexplained", never as received. It counts as open."""
    refuse_unless_seen(_found_problems(found), seen)
    [can] = number_cans(found.type, [found.lot.strip()], establishment, on=on, at=at, by=by)
    holds = heel_of(found.ticket.reading.mass, found.type.shell)
    legs = [Leg("unexplained", can.code, holds, Purpose.COUNTED)] if holds > ZERO else []
    entry = post(establishment, legs, on=on, text=f"{can.code} found, origin unknown", at=at, by=by)
    return FoundCan.objects.create(
        container=can,
        where=found.where.strip(),
        printed=found.printed.strip(),
        ticket=weigh(can, found.ticket, at=at, by=by),
        entry=entry,
        jpeg=found.photo.jpeg if found.photo is not None else b"",
        sha256=found.photo.sha256 if found.photo is not None else "",
        at=at,
        by=by,
    )


def _found_problems(found: FoundIn) -> list[Finding]:
    problems = []
    if len(found.printed.strip()) < 3:
        sentence = phrase("Type what is printed on it: its refrigerant, at least.")
        problems.append(blocked("found-printed", sentence, "printed"))
    if len(found.where.strip()) < 3:
        problems.append(blocked("found-where", phrase("Say where it was found."), "where"))
    kind = found.type
    ticket = found.ticket
    problems += ticket_problems(
        Ticket(ticket.reading, ticket.scale.division, ticket.style, ticket.origin),
        kind=CanKind(kind.net, kind.shell, float(kind.shell_spread_g)),
        can=phrase("This can"),
        previous=None,
        sealed=False,
        first_in_job=True,
        field="reading",
    )
    return problems


@transaction.atomic
def accept_found(found: FoundCan, *, why: str, at: datetime, by: Person) -> FoundCanAccepted:
    """The owner says that a found can may go on a car."""
    problems = why_problems(why)
    if not by.is_owner:
        problems.append(blocked("accept-owner", phrase("Only the owner accepts a found can.")))
    if FoundCanAccepted.objects.filter(found=found).exists():
        sentence = phrase("{can} is accepted already.", can=found.container_id)
        problems.append(blocked("accepted-already", sentence))
    refuse_if_blocked(problems)
    return FoundCanAccepted.objects.create(found=found, why=why.strip(), at=at, by=by)
