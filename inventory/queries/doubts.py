"""Reads about scales in doubt: what a check that did not pass says of the tickets around it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from inventory.models import WeighTicket
from shop.core.mass import Mass
from shop.models import Check, Equipment, Establishment


@dataclass(frozen=True, slots=True)
class Doubt:
    """A check that did not pass and the tickets it speaks of: those since the check before it, and, when it is the
    scale's last, those after it too. ``since`` is None when no check came before."""

    check: Check
    good: Check | None  # the last check that passed before it
    since: datetime | None
    until: datetime | None

    @property
    def off(self) -> Mass:
        return abs(self.check.error)

    def covers(self, ticket: WeighTicket) -> bool:
        return (
            ticket.scale_id == self.check.equipment_id
            and (self.since is None or ticket.at > self.since)
            and (self.until is None or ticket.at <= self.until)
        )


def doubts(establishment: Establishment, *, settled: bool = False) -> list[Doubt]:
    """The failed checks of all scales, those that the owner has decided about left out unless asked for."""
    rows = Check.objects.filter(equipment__establishment=establishment, equipment__kind=Equipment.Kind.SCALE)
    rows = rows.select_related("equipment__establishment", "settled", "by").order_by("equipment", "on", "pk")
    by_scale: dict[int, list[Check]] = {}
    for check in rows:
        by_scale.setdefault(check.equipment_id, []).append(check)
    found = [one for checks in by_scale.values() for one in _of_scale(checks)]
    return found if settled else [one for one in found if not hasattr(one.check, "settled")]


def _of_scale(checks: list[Check]) -> list[Doubt]:
    found = []
    good: Check | None = None
    for place, check in enumerate(checks):
        if check.passed:
            good = check
            continue
        before = checks[place - 1] if place else None
        after = checks[place + 1] if place + 1 < len(checks) else None
        until = None if after is None else _instant(after if after.passed else check, late=True)
        found.append(Doubt(check, good, None if before is None else _instant(before, late=False), until))
    return found


def _instant(check: Check, *, late: bool) -> datetime:
    """When a check was made: its signature when that is of the same day, else the day's beginning or end."""
    zone = ZoneInfo(check.equipment.establishment.time_zone)
    if check.at.astimezone(zone).date() == check.on:
        return check.at
    begins = datetime.combine(check.on, time.min, zone)
    return begins + timedelta(days=1) if late else begins


def tickets_in_doubt(doubt: Doubt) -> QuerySet[WeighTicket]:
    """The weigh tickets that a failed check speaks of, by number."""
    rows = WeighTicket.objects.filter(scale=doubt.check.equipment_id, set_aside=None)
    if doubt.since is not None:
        rows = rows.filter(at__gt=doubt.since)
    if doubt.until is not None:
        rows = rows.filter(at__lte=doubt.until)
    return rows.select_related("container", "by").order_by("number")


def off_by(open_doubts: Iterable[Doubt], ticket: WeighTicket) -> Mass | None:
    """How far off its scale may have been when this ticket was written; None when nobody doubts it."""
    return next((doubt.off for doubt in open_doubts if doubt.covers(ticket)), None)


def mark(establishment: Establishment, tickets: Iterable[WeighTicket]) -> None:
    """Put ``in_doubt`` on tickets that are to be shown, while nobody has decided about their scale."""
    open_doubts = doubts(establishment)
    for ticket in tickets if open_doubts else ():
        ticket.in_doubt = off_by(open_doubts, ticket)
