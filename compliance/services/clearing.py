"""Clearing old records: ask, confirm, bring back or clear. Nothing here happens by itself, and each step is signed."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from compliance.core.clearing import clear_problems, confirm_problems, undo_problems, undo_until
from compliance.core.old import OldKind
from compliance.models import (
    Clearing,
    ClearingConfirmed,
    ClearingDone,
    ClearingJob,
    ClearingLeftOut,
    ClearingUndone,
    Job,
    Package,
    PutAway,
)
from compliance.queries.cleared import (
    clearing_of,
    going,
    step_of,
    still_to_go,
    too_soon_for,
    waiting,
)
from compliance.queries.clearing import plan, stays_because
from compliance.queries.old_records import old_records
from compliance.services.packages import owner_problems
from compliance.services.putting_away import bring_back, let_go, put_away
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Establishment, Person

JOBS_AT_ONCE = 20  # in one transaction, a quarter of a second: SQLite lets nobody else write meanwhile
PAUSE_S = 0.2  # between two of them, so that who waits gets in: SQLite looks again every tenth of a second


@dataclass(frozen=True, slots=True)
class AskIn:
    """The archive, and the SHA-256 of the file at hand: typed, or worked out from the file."""

    archive: Package
    sha256: str
    how: Clearing.How = Clearing.How.TYPED


@dataclass(frozen=True, slots=True)
class Cleared:
    """What came of a step: the jobs that went on, and those that dropped out of it."""

    clearing: Clearing
    jobs: int
    dropped: int


@transaction.atomic
def ask_to_clear(
    establishment: Establishment, ask: AskIn, *, today: date, at: datetime, by: Person
) -> Clearing:
    """Ask to clear the jobs of an archive that nothing keeps. Nothing is hidden yet.

    Raises ``Refused`` to anybody but the owner, when the hash is not the archive's, when another clearing waits to be
    confirmed, or when nothing of the archive may go. What stays is written down with its reason.
    """
    _lock(establishment)
    found = [*owner_problems(by), *_archive_problems(establishment, ask)]
    if waiting(establishment).filter(confirmed=None).exists():
        sentence = phrase("Another clearing waits to be confirmed. Confirm it or call it off first.")
        found.append(blocked("clearing-waits", sentence))
    planned = plan(establishment, ask.archive, today)
    if not planned.goes:
        found.append(
            blocked(
                "clearing-empty", phrase("No job of this archive may be cleared. See below what keeps each.")
            )
        )
    refuse_if_blocked(found)
    clearing = Clearing.objects.create(
        establishment=establishment, archive=ask.archive, how=ask.how, on=today, at=at, by=by
    )
    ClearingJob.objects.bulk_create(
        [ClearingJob(clearing=clearing, job_id=one.pk) for one in planned.goes], batch_size=500
    )
    stays = dict(planned.stays)
    jobs = Job.objects.filter(establishment=establishment, number__in=list(stays))
    _leave_out(clearing, {job.pk: stays[job.number] for job in jobs}, at=at, by=by)
    return clearing


@transaction.atomic
def confirm_clearing(clearing: Clearing, *, today: date, at: datetime, by: Person) -> Cleared:
    """Put the details away, for thirty days in which they can come back. Jobs that something keeps by now drop out.

    Of many jobs the first few are put away here; ``go_on`` takes the others, outside of this transaction.
    """
    _lock(clearing.establishment)
    clearing = Clearing.objects.get(pk=clearing.pk)
    found = owner_problems(by)
    if step_of(clearing) != "asked":
        found.append(blocked("clearing-not-asked", phrase("This clearing waits for no confirmation.")))
    found += confirm_problems(too_soon_for(clearing, by, at=at, today=today))
    planned = plan(clearing.establishment, clearing.archive, today)
    stays, free = dict(planned.stays), {one.pk for one in planned.goes}
    mine = list(going(clearing))
    if not any(job.pk in free for job in mine):
        found.append(blocked("clearing-empty", phrase("Every job of it is kept by now. Call it off.")))
    refuse_if_blocked(found)
    dropped = {job.pk: stays[job.number] for job in mine if job.pk not in free}
    _leave_out(clearing, dropped, at=at, by=by)
    ClearingConfirmed.objects.create(clearing=clearing, on=today, undo_until=undo_until(today), at=at, by=by)
    jobs = [job.pk for job in mine if job.pk in free]
    _a_few(clearing, at=at, by=by)
    return Cleared(clearing, len(jobs), len(dropped))


@transaction.atomic
def undo_clearing(clearing: Clearing, *, why: str, today: date, at: datetime, by: Person) -> ClearingUndone:
    """Call a clearing off, or bring everything back that it put away, up to the end of the thirtieth day. Of many jobs
    the first few come back here, the others by ``go_on``."""
    _lock(clearing.establishment)
    clearing = Clearing.objects.get(pk=clearing.pk)
    found, step = owner_problems(by), step_of(clearing)
    if step == "undone":
        found.append(blocked("undone-already", phrase("It was called off or brought back already.")))
    if step == "cleared":
        found.append(blocked("cleared-already", phrase("It is cleared. What was put away is gone.")))
    if step == "put away":
        found += undo_problems(clearing.confirmed.undo_until, today)
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say why."), "why"))
    refuse_if_blocked(found)
    undone = ClearingUndone.objects.create(clearing=clearing, on=today, why=why.strip(), at=at, by=by)
    _a_few(clearing, at=at, by=by)
    return undone


def go_on(clearing: Clearing, *, at: datetime, by: Person) -> None:
    """Put away, or bring back, what a confirmed or undone clearing has not got to yet: a few jobs in a transaction of
    their own, each of which leaves the book whole. Who is stopped in between goes on later."""
    refuse_if_blocked(owner_problems(by))
    clearing = Clearing.objects.get(pk=clearing.pk)
    rest = still_to_go(clearing).count()
    while rest:
        time.sleep(PAUSE_S)
        with transaction.atomic():
            _lock(clearing.establishment)
            clearing = Clearing.objects.get(pk=clearing.pk)
            _a_few(clearing, at=at, by=by)
        before, rest = rest, still_to_go(clearing).count()
        if rest >= before:
            return  # nothing to take off these rows


def _a_few(clearing: Clearing, *, at: datetime, by: Person) -> None:
    jobs = list(still_to_go(clearing).values_list("pk", flat=True)[:JOBS_AT_ONCE])
    if step_of(clearing) == "undone":
        bring_back(clearing.establishment, clearing.tombstones.filter(job__in=jobs))
    elif jobs:
        put_away(clearing, jobs, at=at, by=by)


@transaction.atomic
def clear_now(clearing: Clearing, *, today: date, at: datetime, by: Person) -> Cleared:
    """Remove for good what was put away, from the thirty-first day on. What has to be kept by now comes back."""
    _lock(clearing.establishment)
    clearing = Clearing.objects.get(pk=clearing.pk)
    found, step = owner_problems(by), step_of(clearing)
    if step in ("undone", "cleared"):
        found.append(blocked("clearing-over", phrase("This clearing is over.")))
    else:
        until = clearing.confirmed.undo_until if step == "put away" else None
        found += clear_problems(until, today)
    if still_to_go(clearing).exists():
        sentence = phrase("Not all details are put away yet. Open the clearing and let it go on.")
        found.append(blocked("clearing-unfinished", sentence))
    refuse_if_blocked(found)
    past = {one.pk: one for one in old_records(clearing.establishment, today) if one.kind is OldKind.JOB}
    longer = phrase("it has to be kept longer by now")
    mine = list(going(clearing).values_list("pk", flat=True))
    dropped = {pk: why for pk in mine if (why := stays_because(past[pk]) if pk in past else longer)}
    _drop(clearing, dropped, at=at, by=by)
    ClearingDone.objects.create(clearing=clearing, on=today, at=at, by=by)
    cleared = list(going(clearing).values_list("pk", flat=True))
    let_go(clearing, cleared, at=at, by=by)
    return Cleared(clearing, len(cleared), len(mine) - len(cleared))


def keep_after_all(job: Job, why: str, *, at: datetime, by: Person) -> Clearing | None:
    """A hold was placed: a job that waits to be cleared drops out, and its details come back at once. What was cleared
    for good stays so. Call it inside the transaction that places the hold."""
    _lock(job.establishment)
    asked = waiting(job.establishment).filter(jobs__job=job).exclude(left_out__job=job).first()
    clearing = asked or clearing_of(job)
    step = step_of(clearing) if clearing is not None else ""
    if clearing is not None and step == "undone":  # it was still to come back
        bring_back(clearing.establishment, clearing.tombstones.filter(job=job))
    if clearing is None or step not in ("asked", "put away"):
        return None
    _drop(clearing, {job.pk: why}, at=at, by=by)
    return clearing


def _archive_problems(establishment: Establishment, ask: AskIn) -> Iterable[Finding]:
    archive, typed = ask.archive, "".join(ask.sha256.split()).lower()
    if archive.establishment_id != establishment.pk or archive.kind != Package.Kind.ARCHIVE:
        yield blocked("archive-unknown", phrase("Choose an archive that is on record."))
    elif not typed:
        sentence = phrase("Type the archive's SHA-256, or choose the file.")
        yield blocked("archive-unshown", sentence, "sha256")
    elif typed != archive.sha256:
        file = ask.how == Clearing.How.FILE
        sentence = (
            phrase("This file is not the archive that is on record. Find that file first.")
            if file
            else phrase("This is not the archive's SHA-256. Work it out from the file you keep.")
        )
        yield blocked("archive-differs", sentence, "file" if file else "sha256")


def _drop(clearing: Clearing, dropped: dict[int, str], *, at: datetime, by: Person) -> None:
    """Leave jobs out and bring their details back. Their car comes back too, with the job it was put away under."""
    _leave_out(clearing, dropped, at=at, by=by)
    bring_back(clearing.establishment, clearing.tombstones.filter(job__in=list(dropped)))
    cars = list(Job.objects.filter(pk__in=list(dropped)).values_list("vehicle", flat=True))
    still = PutAway.objects.filter(tombstone__of_table="shop_vehicle", tombstone__of_row__in=cars)
    for other in Clearing.objects.filter(pk__in=still.values("tombstone__clearing")):
        jobs = still.filter(tombstone__clearing=other).values_list("tombstone__job", flat=True)
        same_car = phrase("another job of the same car is kept")
        _leave_out(other, dict.fromkeys(jobs, same_car), at=at, by=by)
        bring_back(other.establishment, other.tombstones.filter(job__in=other.left_out.values("job")))


def _leave_out(clearing: Clearing, why: dict[int, str], *, at: datetime, by: Person) -> None:
    ClearingLeftOut.objects.bulk_create(
        [
            ClearingLeftOut(clearing=clearing, job_id=job, why=str(said)[:300], at=at, by=by)
            for job, said in why.items()
        ],
        batch_size=500,
    )


def _lock(establishment: Establishment) -> None:
    """One step at a time: what is looked at stays so until the transaction ends."""
    Establishment.objects.select_for_update(no_key=True).get(pk=establishment.pk)
