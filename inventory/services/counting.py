"""Counts of the cabinet, which compare it with the book. The first one, which opens the book, is in ``opening``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.ledger import Leg, Purpose
from inventory.models import Container, Count, CountLine, Entry, Movement, SpokenFor
from inventory.posting import post
from inventory.services.opening import shell_known
from inventory.services.weighing import TicketIn, reading_problems, weigh
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass
from shop.models import Establishment, Person


@dataclass(frozen=True, slots=True)
class CountedIn:
    """One container as found: sealed (its label says what it holds), weighed (a ticket), or not found."""

    container: Container
    how: str
    ticket: TicketIn | None = None


@dataclass(frozen=True, slots=True)
class CountIn:
    on: date
    counted: Sequence[CountedIn]


@transaction.atomic
def record_count(count: CountIn, establishment: Establishment, *, at: datetime, by: Person) -> Count:
    """Compare what was found with the book and book each difference as a difference.

    A sealed can holds what its label says; a weighed one its reading less the shell (or the stamped tare), nothing
    when it weighs a little less than the nominal shell. Refused when a reading cannot be that container's, a container
    is counted twice, or nothing was counted.
    """
    refuse_if_blocked(_count_problems(count))
    codes = [one.container.code for one in count.counted]
    expected = Movement.objects.balances(codes)
    lines = [(one, expected[one.container.code], _found(one)) for one in count.counted]
    legs = [_difference(one.container.code, found - book) for one, book, found in lines if found != book]
    entry = post(establishment, legs, on=count.on, text="Count", at=at, by=by)
    made = _logged(count, establishment, entry, at=at, by=by)
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
    return made


def _logged(count: CountIn, establishment: Establishment, entry: Entry, *, at: datetime, by: Person) -> Count:
    return Count.objects.create(establishment=establishment, on=count.on, entry=entry, at=at, by=by)


def _difference(code: str, difference: Mass) -> Leg:
    if difference > ZERO:
        return Leg("unexplained", code, difference, Purpose.COUNTED)
    return Leg(code, "unexplained", -difference, Purpose.COUNTED)


def _found(one: CountedIn) -> Mass:
    container = one.container
    if one.how == CountLine.How.MISSING:
        return ZERO
    if one.how == CountLine.How.SEALED:
        return container.can.type.net
    assert one.ticket is not None  # noqa: S101 - _count_problems has refused it
    empty = container.can.type.shell if container.kind == "can" else container.cylinder.tare
    return max(one.ticket.reading.mass - empty, ZERO)


def _count_problems(count: CountIn) -> list[Finding]:
    found = []
    waiting = SpokenFor.objects.filter(container__in=[one.container for one in count.counted])
    for code, holder in waiting.values_list("container_id", "holder"):
        sentence = (
            f"{code} waits for {holder} to close. Close that job first, or leave {code} out of this count."
        )
        found.append(blocked("container-waits", sentence, code))
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
