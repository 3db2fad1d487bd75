"""What the front office waits for: cans, invoices, credits, deposits. Money itself is never said on Today."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from django.urls import reverse

from inventory.queries import (
    deliveries,
    deposits_due,
    found_cans,
    lines_to_come,
    low_stock,
    paused_counts,
    refused_here,
    without_credit,
)
from shop.core.phrase import phrase
from shop.core.roles import Role
from shop.models import Establishment, Person

INVOICE_AFTER = timedelta(days=3)
CREDIT_AFTER = timedelta(days=14)
REST_AFTER = timedelta(days=7)  # when the supplier named no day
LOOKED_FOR = timedelta(days=366)
MOST = 5  # lines of one kind


@dataclass(frozen=True, slots=True)
class Ask:
    """``shape`` is "look" or "waiting". ``cause`` names what is worth an e-mail, the same as long as it is the same."""

    shape: str
    text: str
    href: str
    do: str
    cause: str = ""


def office_asks(establishment: Establishment, day: date, person: Person) -> Iterator[Ask]:
    """Low stock for everybody; the rest for those who can do it."""
    yield from _low(establishment, day, person)
    if person.role == Role.TECHNICIAN:
        return
    yield from _paused(establishment)
    yield from _found(establishment, person)
    yield from office_waits(establishment, day)


def office_waits(establishment: Establishment, day: date) -> Iterator[Ask]:
    """What was to come and has not."""
    yield from _to_come(establishment, day)
    yield from _refused(establishment)
    yield from _credits(establishment, day)
    yield from _deposits(establishment, day)
    yield from _invoices(establishment, day)


def _paused(establishment: Establishment) -> Iterator[Ask]:
    """A count that somebody began: anybody in the office or the owner goes on with it."""
    for draft in paused_counts(establishment):
        text = phrase(
            "Count of {what} paused {on:%b} {day}, {on:%H:%M} by {by}, {found} of {asked} found.",
            what=draft.title,
            on=draft.saved_at.astimezone(ZoneInfo(establishment.time_zone)),
            day=draft.saved_at.astimezone(ZoneInfo(establishment.time_zone)).day,
            by=draft.by.first_name,
            found=draft.found,
            asked=draft.asked,
        )
        query = f"?refrigerant={draft.refrigerant}" if draft.refrigerant else ""
        yield Ask("waiting", text, reverse("counts:new") + query, phrase("Go on"))


def _found(establishment: Establishment, person: Person) -> Iterator[Ask]:
    """A can of unknown origin waits for the owner."""
    for found in found_cans(establishment).filter(accepted=None)[: MOST if person.is_owner else 0]:
        text = phrase(
            "{can} was found by {by}, origin unknown: {where}.",
            can=found.container_id,
            by=found.by.first_name,
            where=found.where,
        )
        yield Ask("look", text, reverse("containers:accept", args=[found.container_id]), phrase("Look at it"))


def _low(establishment: Establishment, day: date, person: Person) -> Iterator[Ask]:
    technician = person.role == Role.TECHNICIAN
    href = reverse("cabinet") if technician else reverse("deliveries:new")
    for stock in low_stock(establishment, day):
        facts = {"full": stock.full, "gas": stock.refrigerant, "usual": stock.usual}
        one = phrase("1 full can of {gas} left, usual week uses {usual}.", **facts)
        many = phrase("{full} full cans of {gas} left, usual week uses {usual}.", **facts)
        text = one if stock.full == 1 else many
        yield Ask("look", text, href, phrase("Look") if technician else phrase("Receive"))


def _to_come(establishment: Establishment, day: date) -> Iterator[Ask]:
    """The rest of a slip from the day that it is due."""
    waiting = lines_to_come(establishment, since=day - LOOKED_FOR).order_by("delivery__on", "pk")
    due = [line for line in waiting if (line.due or line.delivery.on + REST_AFTER) <= day]
    for line in due[:MOST]:
        since = line.due or line.delivery.on
        text = phrase(
            "{delivery}: {cans} × {what} to come since {since:%b} {day}.",
            delivery=line.delivery.number,
            cans=line.to_come,
            what=str(line.type),
            since=since,
            day=since.day,
        )
        yield Ask("waiting", text, reverse("deliveries:page", args=[line.delivery.number]), phrase("Look"))


def _refused(establishment: Establishment) -> Iterator[Ask]:
    for can in refused_here(establishment)[:MOST]:
        text = phrase("{can} came damaged and is still here.", can=can.code)
        href = reverse("deliveries:page", args=[can.delivered.line.delivery.number])
        yield Ask("look", text, href, phrase("What now?"))


def _credits(establishment: Establishment, day: date) -> Iterator[Ask]:
    for slip in without_credit(establishment, up_to=day - CREDIT_AFTER)[:MOST]:
        cans = len(slip.cans.all())
        facts = {"slip": slip.number, "cans": cans, "on": slip.on, "day": slip.on.day}
        one = phrase("{slip}: 1 can returned {on:%b} {day}, no credit yet – email ready.", **facts)
        many = phrase("{slip}: {cans} cans returned {on:%b} {day}, no credit yet – email ready.", **facts)
        href = reverse("return-slip", args=[slip.number])
        yield Ask("waiting", one if cans == 1 else many, href, phrase("Look"), f"credit {slip.number}")


def _deposits(establishment: Establishment, day: date) -> Iterator[Ask]:
    for out in deposits_due(establishment, up_to=day)[:MOST]:
        text = phrase(
            "{delivery}: a deposit was due back {due:%b} {day}.",
            delivery=out.delivery.number,
            due=out.due,
            day=out.due.day,
        )
        yield Ask("waiting", text, reverse("deliveries:page", args=[out.delivery.number]), phrase("Look"))


def _invoices(establishment: Establishment, day: date) -> Iterator[Ask]:
    late = deliveries(establishment).filter(invoices=None, undone=None, on__lte=day - INVOICE_AFTER)
    for one in late[:MOST]:
        text = phrase("{one} of {on:%b} {day}: invoice missing.", one=one.number, on=one.on, day=one.on.day)
        yield Ask("waiting", text, reverse("deliveries:page", args=[one.number]), phrase("Add"))
