"""Containers that are not to be used: on hold until somebody ends it, or found and not yet accepted by the owner."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from django.db import transaction

from inventory.models import Container, FoundCan, Hold, HoldEnd
from shop.core.days import said_day
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person


def not_to_be_used(container: Container, field: str) -> list[Finding]:
    """Why nothing may go out of this container or into it now."""
    found = []
    hold = hold_of(container)
    if hold is not None:
        sentence = phrase(
            "{container} is on hold since {on} ({why}). Take another one.",
            container=container.code,
            on=said_day(hold.at.astimezone(ZoneInfo(container.establishment.time_zone))),
            why=hold.why,
        )
        found.append(blocked("on-hold", sentence, field))
    if FoundCan.objects.filter(container=container, accepted=None).exists():
        sentence = phrase(
            "{container} was found without a number: its origin is unknown. The owner accepts it first.",
            container=container.code,
        )
        found.append(blocked("found-not-accepted", sentence, field))
    return found


def hold_of(container: Container) -> Hold | None:
    """The hold that a container is on now."""
    return Hold.objects.filter(container=container, end=None).select_related("by").first()


@transaction.atomic
def put_on_hold(container: Container, *, why: str, at: datetime, by: Person) -> Hold:
    """Nobody is to use it until ``end_hold``."""
    Container.objects.select_for_update(no_key=True, of=("self",)).get(pk=container.pk)
    refuse_if_blocked([*hold_problems(container), *why_problems(why)])
    return Hold.objects.create(container=container, why=why.strip(), at=at, by=by)


@transaction.atomic
def end_hold(container: Container, *, why: str, at: datetime, by: Person) -> HoldEnd:
    """It may be used again. Who put it on hold says so, or the owner."""
    Container.objects.select_for_update(no_key=True, of=("self",)).get(pk=container.pk)
    refuse_if_blocked([*hold_end_problems(container, by), *why_problems(why)])
    hold = hold_of(container)
    assert hold is not None  # noqa: S101 - refused above
    return HoldEnd.objects.create(hold=hold, why=why.strip(), at=at, by=by)


def why_problems(why: str) -> list[Finding]:
    if len(why.strip()) >= 3:
        return []
    return [blocked("why-empty", phrase("Say why in a few words."), "why")]


def ended_already(container: Container) -> list[Finding]:
    if not hasattr(container, "fate"):
        return []
    sentence = phrase(
        "{container} is out of use ({fate}).",
        container=container.code,
        fate=container.fate.get_what_display().lower(),
    )
    return [blocked("out-of-use", sentence)]


def waits_already(container: Container) -> list[Finding]:
    """It belongs to an open job."""
    return [
        blocked(
            "container-waits",
            phrase(
                "{container} belongs to the open job {job}. Close that job first.",
                container=container.code,
                job=one.holder,
            ),
        )
        for one in container.spoken_for.all()[:1]
    ]


def hold_problems(container: Container) -> list[Finding]:
    found = [*ended_already(container), *waits_already(container)]
    if hold_of(container) is not None:
        sentence = phrase("{container} is on hold already.", container=container.code)
        found.append(blocked("hold-again", sentence))
    return found


def hold_end_problems(container: Container, by: Person) -> list[Finding]:
    hold = hold_of(container)
    if hold is None:
        return [blocked("hold-none", phrase("{container} is not on hold.", container=container.code))]
    if not by.is_owner and hold.by_id != by.pk:
        sentence = phrase("{by} put it on hold. {by} or the owner says that it may be used.", by=hold.by.name)
        return [blocked("hold-of-other", sentence)]
    return []
