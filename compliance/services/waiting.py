"""Entries that reached us later than they were typed, and entries that are kept without counting."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import Max

from compliance.models import CanTicket, EntryChoice, Job, SentLater, SpareEntry, Stage
from compliance.services.stages import hold
from inventory.models import Container
from shop.core.canonical import canonical
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.core.said import Said, settle
from shop.models import Person


@dataclass(frozen=True, slots=True)
class SpareIn:
    """``typed`` by the names of the form's fields, ``says`` the same in words, ``why`` it does not count."""

    path: str
    typed: dict[str, Any]
    says: str
    why: str
    typed_at: datetime | None = None
    ahead: timedelta | None = None


def settle_for(
    job: Job, typed_at: datetime | None, ahead: timedelta | None, *, can: Container | None, received: datetime
) -> Said:
    """When an entry was made, as far as the job's own order bears it: a reading of a can not before the last reading
    of that can, anything else not before the last stage, nothing before the car came."""
    if can is not None:
        rows = CanTicket.objects.filter(job=job, ticket__container=can)
    else:
        rows = Stage.objects.filter(job=job)  # type: ignore[assignment]
    last = rows.aggregate(last=Max("at"))["last"]
    return settle(typed_at, ahead, received=received, not_before=max(last or job.at, job.at))


def keep_sent_later(
    job: Job, said: Said, *, since: tuple[int, int], at: datetime, by: Person
) -> SentLater | None:
    """Beside the stage or ticket that this transaction wrote: what the device said of its time.

    ``since`` are the newest stage and ticket as they stood before (``newest``); the job's row has been held since.
    Nothing for an entry that wrote neither, such as a clock of a draft.
    """
    stage = Stage.objects.filter(job=job, pk__gt=since[0]).last()
    row = CanTicket.objects.filter(job=job, pk__gt=since[1]).last()
    if stage is None and row is None:
        return None
    return SentLater.objects.create(
        job=job,
        stage=None if row is not None else stage,
        row=row,
        typed_at=said.typed_at,
        ahead_s=_seconds(said.ahead),
        doubt=said.doubt,
        at=at,
        by=by,
    )


def newest(job: Job) -> tuple[int, int]:
    """The newest stage and the newest ticket of a job by their keys, nought for none. It holds the job's row."""
    hold(job)
    stage = Stage.objects.filter(job=job).aggregate(newest=Max("pk"))["newest"]
    row = CanTicket.objects.filter(job=job).aggregate(newest=Max("pk"))["newest"]
    return stage or 0, row or 0


@transaction.atomic
def set_entry_aside(job: Job, entry: SpareIn, *, at: datetime, by: Person) -> SpareEntry:
    """Keep what was typed and refused, without it counting for anything. A closed job takes it too."""
    return _spare(job, entry, at=at, by=by)


@transaction.atomic
def keep_second_entry(
    job: Job, entry: SpareIn, first: Stage | CanTicket, *, at: datetime, by: Person
) -> SpareEntry:
    """Keep what a second phone typed for what ``first`` already says; somebody at the car chooses."""
    hold(job)
    return _spare(job, entry, first, at=at, by=by)


@transaction.atomic
def choose_entry(spare: SpareEntry, which: EntryChoice.Which, *, at: datetime, by: Person) -> EntryChoice:
    """Say which of two entries is true. The caller writes the second one when it is that."""
    hold(spare.job)
    found = []
    if spare.stage_id is None and spare.row_id is None:
        found.append(blocked("no-rival", phrase("This entry was set aside; there is nothing to choose.")))
    if EntryChoice.objects.filter(spare=spare).exists():
        found.append(blocked("chosen-already", phrase("This was chosen already. Look at the job.")))
    refuse_if_blocked(found)
    return EntryChoice.objects.create(spare=spare, which=which, at=at, by=by)


def _spare(
    job: Job, entry: SpareIn, first: Stage | CanTicket | None = None, *, at: datetime, by: Person
) -> SpareEntry:
    return SpareEntry.objects.create(
        job=job,
        path=entry.path,
        as_typed=canonical(entry.typed),
        says=entry.says,
        why=entry.why,
        typed_at=entry.typed_at,
        ahead_s=_seconds(entry.ahead),
        stage=first if isinstance(first, Stage) else None,
        row=first if isinstance(first, CanTicket) else None,
        at=at,
        by=by,
    )


def _seconds(ahead: timedelta | None) -> int | None:
    return None if ahead is None else round(ahead.total_seconds())
