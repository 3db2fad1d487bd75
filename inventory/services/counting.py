"""Counts of the cabinet, which compare it with the book. The first one, which opens the book, is in ``opening``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import Q

from inventory.core.counting import AGAIN_AFTER, Waiting
from inventory.core.ledger import Leg, Purpose
from inventory.models import (
    Container,
    Count,
    CountDraft,
    CountLeftOut,
    CountLine,
    Movement,
    Place,
    SpokenFor,
)
from inventory.posting import post
from inventory.services.opening import shell_known
from inventory.services.weighing import TicketIn, reading_problems, weigh
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass
from shop.core.phrase import phrase
from shop.models import Establishment, Person


@dataclass(frozen=True, slots=True)
class CountedIn:
    """One container as found: sealed (its label says what it holds), weighed (a ticket), not found, or at the last
    ticket of the open job that it waits for (``waiting`` says what the closing will move)."""

    container: Container
    how: str
    ticket: TicketIn | None = None
    waiting: Waiting | None = None


@dataclass(frozen=True, slots=True)
class CountIn:
    """``left_out`` are containers that were not asked for, each with why; ``refrigerant`` names the paused count that
    this one ends ("" for that of the whole cabinet)."""

    on: date
    counted: Sequence[CountedIn]
    left_out: Sequence[tuple[Container, str]] = ()
    refrigerant: str | None = None


@transaction.atomic
def record_count(count: CountIn, establishment: Establishment, *, at: datetime, by: Person) -> Count:
    """Compare what was found with the book and book each difference as a difference.

    A sealed can holds what its label says; a weighed one its reading less the shell (or the stamped tare), nothing
    when it weighs a little less than the nominal shell. Refused when a reading cannot be that container's, a container
    is counted twice, also within the hour, or nothing was counted.
    """
    codes = sorted({one.container.code for one in count.counted})
    # Taken in order, so that nothing moves in them between the expectation and the difference.
    list(Place.objects.filter(code__in=codes).order_by("code").select_for_update(no_key=True))
    refuse_if_blocked([*_count_problems(count), *_counted_lately(count, establishment, at)])
    held = Movement.objects.balances(codes)
    lines = [(one, _expected(one, held[one.container.code]), _found(one)) for one in count.counted]
    legs = [_difference(one.container.code, found - book) for one, book, found in lines if found != book]
    entry = post(establishment, legs, on=count.on, text="Count", at=at, by=by)
    made = Count.objects.create(establishment=establishment, on=count.on, entry=entry, at=at, by=by)
    for one in count.counted:
        if one.ticket is not None:
            weigh(one.container, one.ticket, at=at, by=by)
    CountLine.objects.bulk_create(
        [
            CountLine(
                count=made,
                container=one.container,
                expected=book,
                found=found,
                how=one.how,
                **(shell_known(one.container) if one.how == CountLine.How.WEIGHED else {}),
            )
            for one, book, found in lines
        ]
    )
    CountLeftOut.objects.bulk_create(
        [CountLeftOut(count=made, container=one, why=why[:200]) for one, why in count.left_out]
    )
    if count.refrigerant is not None:
        CountDraft.objects.filter(establishment=establishment, refrigerant=count.refrigerant).delete()
    return made


def _difference(code: str, difference: Mass) -> Leg:
    if difference > ZERO:
        return Leg("unexplained", code, difference, Purpose.COUNTED)
    return Leg(code, "unexplained", -difference, Purpose.COUNTED)


def _expected(one: CountedIn, book: Mass) -> Mass:
    return book if one.waiting is None else one.waiting.expected(book, one.container.empty)


def _found(one: CountedIn) -> Mass:
    container = one.container
    if one.waiting is not None:
        return one.waiting.found(container.empty)
    if one.how == CountLine.How.MISSING:
        return ZERO
    if one.how == CountLine.How.SEALED:
        return container.can.type.net
    assert one.ticket is not None  # noqa: S101 - _count_problems has refused it
    return max(one.ticket.reading.mass - container.empty, ZERO)


def _count_problems(count: CountIn) -> list[Finding]:
    found = []
    at_last = [one for one in count.counted if one.how == CountLine.How.LAST_TICKET]
    waiting = SpokenFor.objects.filter(
        container__in=[one.container for one in count.counted if one not in at_last]
    )
    for code, holder in waiting.values_list("container_id", "holder"):
        sentence = (
            f"{code} waits for {holder} to close. Close that job first, or leave {code} out of this count."
        )
        found.append(blocked("container-waits", sentence, code))
    for one in at_last:
        if one.waiting is None or one.waiting.why_not:
            sentence = phrase(
                "{container} cannot be counted at a job's last ticket (any more). Answer it again.",
                container=one.container.code,
            )
            found.append(blocked("no-last-ticket", sentence, f"moving_{one.container.code}"))
    if not count.counted:
        found.append(blocked("count-empty", "Count at least one container.", ""))
    seen: set[str] = set()
    for one in count.counted:
        code = one.container.code
        if code in seen:
            found.append(blocked("counted-twice", f"{code} is counted twice.", code))
        seen.add(code)
        if one.how == CountLine.How.WEIGHED and one.ticket is None:
            found.append(blocked("count-weight", f"Type what the scale shows for {code}.", code))
        if one.how == CountLine.How.WEIGHED and one.ticket is not None:
            found += reading_problems(one.container, one.ticket, field=code)
        if one.how == CountLine.How.SEALED and (
            one.container.kind != "can" or one.container.tickets.exists()
        ):
            found.append(blocked("count-open", f"{code} has been opened; weigh it.", code))
    return found


def _counted_lately(count: CountIn, establishment: Establishment, at: datetime) -> list[Finding]:
    """What was signed for within the hour is not signed for again; what was not found then may turn up now."""
    asked = [one.container for one in count.counted]
    missed_again = [one.container for one in count.counted if one.how == CountLine.How.MISSING]
    lines = CountLine.objects.filter(
        ~Q(how=CountLine.How.MISSING) | Q(container__in=missed_again),
        container__in=asked,
        count__establishment=establishment,
        count__opening=False,
        count__at__gt=at - AGAIN_AFTER,
        count__at__lt=at + AGAIN_AFTER,
    )
    seen = lines.select_related("count__by", "container").order_by("count", "pk").first()
    if seen is None:
        return []
    zone = ZoneInfo(establishment.time_zone)
    sentence = phrase(
        "{gas} was counted at {time:%H:%M} by {by} ({container}). Look at that count, or count again from"
        " {again:%H:%M} on.",
        gas=seen.container.refrigerant_id,
        time=seen.count.at.astimezone(zone),
        by=seen.count.by.name,
        container=seen.container_id,
        again=(seen.count.at + AGAIN_AFTER).astimezone(zone),
    )
    return [blocked("counted-lately", sentence, "")]
