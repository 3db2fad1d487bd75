"""A hold keeps a job and what stands on it from being cleared, from a dispute on until the owner ends it."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from compliance.models import Job, JobHold, JobHoldEnd
from compliance.queries.holds import hold_of
from compliance.services.clearing import keep_after_all
from compliance.services.stages import hold
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person


@transaction.atomic
def place_hold(job: Job, *, why: str, at: datetime, by: Person) -> JobHold:
    """Put a job on hold. Anybody may: keeping more is never wrong. Every correction after it says so. A job that waits
    to be cleared drops out of that, and its details come back."""
    hold(job)
    found = []
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say what the hold is for."), "why"))
    if hold_of(job) is not None:
        found.append(blocked("held-already", phrase("{job} is on hold already.", job=job.number)))
    refuse_if_blocked(found)
    held = JobHold.objects.create(job=job, why=why.strip(), at=at, by=by)
    keep_after_all(job, phrase("it was put on hold"), at=at, by=by)
    return held


@transaction.atomic
def end_hold(job: Job, *, why: str, at: datetime, by: Person) -> JobHoldEnd:
    """End the hold of a job; only the owner, and with a reason. Nothing is cleared by that."""
    hold(job)
    held = hold_of(job)
    found = []
    if not by.is_owner:
        found.append(blocked("hold-owner", phrase("Only the owner ends a hold.")))
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say why the hold is over."), "why"))
    if held is None:
        found.append(blocked("not-held", phrase("{job} is not on hold.", job=job.number)))
    refuse_if_blocked(found)
    assert held is not None  # noqa: S101 - refused above
    return JobHoldEnd.objects.create(hold=held, why=why.strip(), at=at, by=by)
