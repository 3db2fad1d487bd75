"""What was cleared, or is put away until it is: jobs, papers, and the clearing that did it."""

from __future__ import annotations

from datetime import date, datetime

from django.db.models import Exists, OuterRef, Q, QuerySet

from compliance.core.clearing import clear_problems, too_soon_until
from compliance.models import Clearing, ClearingJob, ClearingLeftOut, Document, Job, PutAway, Tombstone
from shop.core.findings import Finding, blocked
from shop.core.phrase import phrase
from shop.models import Establishment, Person


def clearings(establishment: Establishment) -> QuerySet[Clearing]:
    """All of a shop, the newest first, each with its steps."""
    rows = Clearing.objects.filter(establishment=establishment)
    return rows.select_related("by", "archive", "confirmed__by", "undone__by", "done__by")


def waiting(establishment: Establishment) -> QuerySet[Clearing]:
    """Those that somebody still has to say something to: asked, or confirmed and not yet cleared."""
    return clearings(establishment).filter(undone=None, done=None)


def step_of(clearing: Clearing) -> str:
    """ "asked", "put away", "undone" or "cleared"."""
    if hasattr(clearing, "undone"):
        return "undone"
    if hasattr(clearing, "done"):
        return "cleared"
    return "put away" if hasattr(clearing, "confirmed") else "asked"


def is_due(clearing: Clearing, today: date) -> bool:
    """The days to undo are over and nobody has cleared it."""
    return step_of(clearing) == "put away" and not clear_problems(clearing.confirmed.undo_until, today)


def too_soon_for(clearing: Clearing, person: Person, *, at: datetime, today: date) -> datetime | None:
    """Until when this person has to wait before confirming it; None when they need not."""
    same = clearing.by_id == person.pk
    return too_soon_until(same_person=same, asked_at=clearing.at, asked_on=clearing.on, at=at, today=today)


def going(clearing: Clearing) -> QuerySet[Job]:
    """The jobs that a clearing takes, without those left out of it."""
    out = ClearingLeftOut.objects.filter(clearing=clearing).values("job")
    return Job.objects.filter(clearings__clearing=clearing).exclude(pk__in=out).order_by("pk")


def hidden(establishment: Establishment) -> QuerySet[ClearingJob]:
    """Jobs whose details are put away or cleared, each by the clearing that did it; also those that are still to come
    back after an undo."""
    held = PutAway.objects.filter(tombstone__clearing=OuterRef("clearing"), tombstone__job=OuterRef("job"))
    rows = ClearingJob.objects.filter(clearing__establishment=establishment)
    runs = Q(clearing__undone=None, clearing__confirmed__isnull=False) & ~Exists(_left_out())
    return rows.filter(runs | Exists(held))


def still_to_go(clearing: Clearing) -> QuerySet[Job]:
    """Jobs whose details are still to leave, or to come back: a step over many jobs is taken a few at a time, and
    somebody may have switched the computer off in between."""
    stones = Tombstone.objects.filter(clearing=clearing, job=OuterRef("pk"))
    step = step_of(clearing)
    if step == "put away":
        return going(clearing).exclude(Exists(stones))
    if step == "undone":
        return Job.objects.filter(Exists(stones.filter(put_away__isnull=False))).order_by("pk")
    return Job.objects.none()


def clearing_of(job: Job) -> Clearing | None:
    """The clearing that put a job's details away or cleared them."""
    row = hidden(job.establishment).filter(job=job).order_by("-pk").first()
    return clearings(job.establishment).get(pk=row.clearing_id) if row is not None else None


def clearing_of_paper(document: Document) -> Clearing | None:
    """The clearing that took a certificate's or case file's details."""
    if document.kind not in (Document.Kind.CERTIFICATE, Document.Kind.CASE_FILE):
        return None
    return clearing_of(job_of_paper(document))


def job_of_paper(document: Document) -> Job:
    """The job that a certificate or a case file speaks of."""
    mine = Q(closing__certificates__document=document) | Q(case_files__document=document)
    return Job.objects.select_related("establishment").distinct().get(mine)  # it may have several case files


def standing() -> QuerySet[Tombstone]:
    """The tombstones of details that are off their rows."""
    runs = Q(clearing__undone=None) & ~Exists(_left_out())
    return Tombstone.objects.filter(runs | Q(put_away__isnull=False))


def _left_out() -> QuerySet[ClearingLeftOut]:
    """Of the same clearing, and the same job, as the row that asks."""
    return ClearingLeftOut.objects.filter(clearing=OuterRef("clearing"), job=OuterRef("job"))


def cleared_problems(job: Job) -> list[Finding]:
    """What stands against writing more about a closed job: its details are put away, or gone."""
    clearing = clearing_of(job)
    if clearing is None:
        return []
    if step_of(clearing) == "cleared":
        sentence = phrase(
            "{job} was cleared after its time. What was written on it is in the archive.", job=job.number
        )
        return [blocked("job-cleared", sentence)]
    sentence = phrase(
        "The details of {job} are put away to be cleared. Put the job on hold first; that brings them back.",
        job=job.number,
    )
    return [blocked("job-put-away", sentence)]


def cleared_paper_problems(document: Document) -> list[Finding]:
    """The same for a paper of such a job."""
    if document.kind not in (Document.Kind.CERTIFICATE, Document.Kind.CASE_FILE):
        return []
    return cleared_problems(job_of_paper(document))
