"""Weigh tickets: what the scale said, kept as typed."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction

from inventory.core.weighing import CanKind, Origin, Style, Ticket, ticket_problems
from inventory.models import Container, WeighTicket
from inventory.queries import last_ticket
from shop.core.findings import Finding, Weight, blocked, refuse_unless_seen
from shop.core.mass import Mass, Reading
from shop.core.phrase import phrase
from shop.models import Equipment, Person
from shop.services import next_number, next_numbers


@dataclass(frozen=True, slots=True)
class TicketIn:
    """A reading on one scale; ``style`` says what else was on the pan, ``origin`` how the number was come by."""

    scale: Equipment
    reading: Reading
    style: Style = Style.BARE
    origin: Origin = Origin.WEIGHED


@transaction.atomic
def weigh(container: Container, ticket: TicketIn, *, at: datetime, by: Person) -> WeighTicket:
    """Write one weigh ticket. It asserts; it moves nothing in the book. What it may say is the caller's question."""
    number = next_number("ticket", container.establishment, by=by)
    written = _written(container, ticket, number, at=at, by=by)
    written.save(force_insert=True)
    return written


def weigh_all(tickets: Sequence[tuple[Container, TicketIn]], *, at: datetime, by: Person) -> None:
    """Write many tickets of one shop in a few statements; call it inside a transaction."""
    if not tickets:
        return
    numbers = next_numbers("ticket", len(tickets), tickets[0][0].establishment, by=by)
    WeighTicket.objects.bulk_create(
        _written(container, ticket, number, at=at, by=by)
        for (container, ticket), number in zip(tickets, numbers, strict=True)
    )


def _written(container: Container, ticket: TicketIn, number: int, *, at: datetime, by: Person) -> WeighTicket:
    return WeighTicket(
        establishment=container.establishment,
        number=number,
        container=container,
        scale=ticket.scale,
        reading_text=ticket.reading.text,
        reading_unit=ticket.reading.unit,
        gross=ticket.reading.mass,
        division=ticket.scale.division,
        style=ticket.style,
        origin=ticket.origin,
        scale_line=ticket.reading.line,
        at=at,
        by=by,
    )


@transaction.atomic
def weigh_in_cabinet(
    container: Container, ticket: TicketIn, *, seen: Collection[str] = (), at: datetime, by: Person
) -> WeighTicket:
    """Weigh a container that stands on the shelf. Raises ``Refused`` with every slip of unit, digit or can it sees;
    a warning whose code is in ``seen`` was read and answered with "keep it"."""
    found = reading_problems(container, ticket, field="reading")
    if hasattr(container, "fate"):
        sentence = phrase(
            "{container} is out of use ({fate}).",
            container=container.code,
            fate=container.fate.get_what_display().lower(),
        )
        found.append(blocked("out-of-use", sentence, "reading"))
    for waiting in container.spoken_for.all()[:1]:
        sentence = phrase(
            "{container} belongs to the open job {holder}. Weigh it there.",
            container=container.code,
            holder=waiting.holder,
        )
        found.append(blocked("spoken-for", sentence, "reading"))
    refuse_unless_seen(found, seen)
    return weigh(container, ticket, at=at, by=by)


def reading_problems(container: Container, ticket: TicketIn, *, field: str) -> list[Finding]:
    """What is wrong with a reading of a container that came to the scale from the shelf."""
    if container.kind == "cylinder":
        return _cylinder_problems(container, ticket.reading.mass, field)
    kind, last = container.can.type, last_ticket(container)
    found = ticket_problems(
        Ticket(ticket.reading, ticket.scale.division, ticket.style, ticket.origin),
        kind=CanKind(kind.net, kind.shell, float(kind.shell_spread_g)),
        can=container.code,
        previous=None if last is None else _facts(last),
        sealed=last is None,
        first_in_job=True,
        field=field,
    )
    if last is None or ticket.reading.mass <= last.gross:
        return found
    # Swapped digits may explain a reading; they do not make it true that a can got heavier.
    return [replace(one, weight=Weight.BLOCKS) if one.code == "digits-swapped" else one for one in found]


def _facts(ticket: WeighTicket) -> Ticket:
    return Ticket(
        ticket.reading, ticket.division, Style(ticket.style), Origin(ticket.origin), number=ticket.number
    )


def _cylinder_problems(cylinder: Container, gross: Mass, field: str) -> list[Finding]:
    """A cylinder weighs its tare at least. At most it is full of liquid, which for these refrigerants is no denser
    than 1.3 times water (R-134a at 0 C: 1,295 kg/m3, from memory)."""
    stamps = cylinder.cylinder
    if gross < stamps.tare:
        sentence = phrase(
            "{cylinder} weighs less than its stamped tare. Check the number and its unit.",
            cylinder=cylinder.code,
        )
        return [blocked("below-tare", sentence, field)]
    if gross > stamps.tare + Mass(stamps.water.ug * 13 // 10):
        sentence = phrase(
            "{cylinder} cannot hold that much. Check the number and its unit.", cylinder=cylinder.code
        )
        return [blocked("cylinder-too-heavy", sentence, field)]
    return []
