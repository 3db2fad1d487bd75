"""The opening count: a cabinet that is already in use enters the book, dated today."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction

from inventory.core.ledger import Leg, Purpose
from inventory.core.weighing import CanKind, Ticket, ticket_problems
from inventory.models import Container, ContainerType, Count, CountLine
from inventory.posting import post
from inventory.services.stocking import number_kinds
from inventory.services.weighing import TicketIn, weigh_all
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass
from shop.core.phrase import phrase
from shop.models import Establishment, Person


@dataclass(frozen=True, slots=True)
class OpeningIn:
    """Sealed cans of one kind and lot that stood in the cabinet before the book."""

    type: ContainerType
    cans: int
    lot: str = ""
    field: str = "cans"


@dataclass(frozen=True, slots=True)
class OpenCanIn:
    """One open can that stood there, weighed bare. It holds that less the shell of its kind."""

    type: ContainerType
    ticket: TicketIn
    lot: str = ""
    field: str = "reading"


@transaction.atomic
def open_cabinet(
    stock: Sequence[OpeningIn | OpenCanIn],
    establishment: Establishment,
    *,
    on: date,
    at: datetime,
    by: Person,
) -> Count:
    """Number the cans of a cabinet that is already in use. Sealed ones enter the book at label weight, open ones at
    what the scale shows less the shell; all dated today, since nothing is known of the time before."""
    refuse_if_blocked(_problems(stock))
    each = list(_one_by_one(stock))
    cans = number_kinds([(one.type, one.lot) for one in each], establishment, on=on, at=at, by=by)
    found = [inside(one) for one in each]
    legs = [
        Leg("before the book", can.code, mass, Purpose.OPENING)
        for can, mass in zip(cans, found, strict=True)
        if mass > ZERO
    ]
    entry = post(establishment, legs, on=on, text="Opening count", at=at, by=by)
    count = Count.objects.create(establishment=establishment, on=on, entry=entry, opening=True, at=at, by=by)
    rows = list(zip(each, cans, found, strict=True))
    weigh_all([(can, one.ticket) for one, can, _ in rows if isinstance(one, OpenCanIn)], at=at, by=by)
    CountLine.objects.bulk_create(_line(count, one, can, mass) for one, can, mass in rows)
    return count


def inside(one: OpeningIn | OpenCanIn) -> Mass:
    """What a can holds: its label's net, or its weight less the shell, and never less than nothing."""
    if isinstance(one, OpeningIn):
        return one.type.net
    return max(one.ticket.reading.mass - one.type.shell, ZERO)


def shell_known(container: Container) -> dict[str, Any]:
    """How the shell of a weighed container was known, for a line of a count. A cylinder's tare is stamped on it."""
    return _shell(container.can.type) if container.kind == "can" else {}


def opening_problems(one: OpeningIn | OpenCanIn) -> list[Finding]:
    """What is wrong with one line of an opening count."""
    if isinstance(one, OpenCanIn):
        kind = one.type
        return ticket_problems(
            Ticket(one.ticket.reading, one.ticket.scale.division, one.ticket.style, one.ticket.origin),
            kind=CanKind(kind.net, kind.shell, float(kind.shell_spread_g)),
            can=phrase("this can"),
            previous=None,
            sealed=False,
            first_in_job=True,
            field=one.field,
        )
    if 1 <= one.cans <= 500:
        return []
    sentence = phrase("{kind}: type how many sealed cans there are, 1 to 500.", kind=str(one.type))
    return [blocked("opening-cans", sentence, one.field)]


def _problems(stock: Sequence[OpeningIn | OpenCanIn]) -> list[Finding]:
    if not stock:
        sentence = phrase("Say which cans there are: at least one kind.")
        return [blocked("opening-empty", sentence, "")]
    return [finding for one in stock for finding in opening_problems(one)]


def _one_by_one(stock: Iterable[OpeningIn | OpenCanIn]) -> Iterable[OpeningIn | OpenCanIn]:
    for one in stock:
        yield from [one] * (one.cans if isinstance(one, OpeningIn) else 1)


def _shell(kind: ContainerType) -> dict[str, Any]:
    return {"shell_basis": kind.shell_basis, "shell_doubt_g": kind.shell_spread_g}


def _line(count: Count, one: OpeningIn | OpenCanIn, can: Container, found: Mass) -> CountLine:
    line = CountLine(count=count, container=can, expected=ZERO, found=found, how=CountLine.How.SEALED)
    if isinstance(one, OpenCanIn):
        line.how = CountLine.How.WEIGHED
        line.shell_basis, line.shell_doubt_g = one.type.shell_basis, one.type.shell_spread_g
    return line
