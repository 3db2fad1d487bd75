"""What is on hold: jobs that a dispute stands on, with everything that stands on them."""

from __future__ import annotations

from django.db.models import Model, Q, QuerySet

from compliance.models import Document, Job, JobHold, Photo, Stage
from inventory.models import Container, WeighTicket
from shop.models import Card, Equipment, Establishment, Person


def holds(establishment: Establishment) -> QuerySet[JobHold]:
    """All holds, those that run first, the newest before the older."""
    rows = JobHold.objects.filter(job__establishment=establishment)
    return rows.select_related("job__vehicle", "by", "end__by").order_by("end", "-pk")


def running(establishment: Establishment) -> QuerySet[JobHold]:
    return JobHold.objects.filter(job__establishment=establishment, end=None)


def hold_of(job: Job) -> JobHold | None:
    """The hold that runs on a job."""
    return job.holds.filter(end=None).select_related("by").first()


def on_hold(thing: Model) -> bool:
    """Whether a hold keeps this from being cleared: a job, or what a job on hold stands on, that is its papers and
    photos, its cans and cylinders with their tickets, who worked on it, their cards, and the equipment that was used.
    """
    if isinstance(thing, Job):
        return hold_of(thing) is not None
    if isinstance(thing, Document):
        return _paper_on_hold(thing)
    if isinstance(thing, WeighTicket):
        return on_hold(thing.container)
    if isinstance(thing, Photo):
        return on_hold(thing.job)
    if isinstance(thing, Card):
        return on_hold(thing.person)
    if isinstance(thing, Person):
        return _worked_on(thing)
    if isinstance(thing, Container):
        held = running(thing.establishment)
        weighed = Q(job__can_tickets__ticket__container=thing) | Q(job__stages__recovery__cylinder=thing)
        return held.filter(weighed | Q(job__mischarges__container=thing)).exists()
    if isinstance(thing, Equipment):
        held = running(thing.establishment)
        used = Q(job__can_tickets__ticket__scale=thing) | Q(job__stages__recovery__machine=thing)
        named = (
            Q(job__stages__evacuation__pump=thing.code)
            | Q(job__stages__evacuation__gauge=thing.code)
            | Q(job__stages__leakcheck__instrument=thing.code)
        )
        return held.filter(used | named | Q(job__stages__recovery__before__scale=thing)).exists()
    raise TypeError(f"no hold speaks of a {type(thing).__name__}")


def _paper_on_hold(paper: Document) -> bool:
    """A certificate or case file of a job on hold, or a usage report that tells of one."""
    held = running(paper.establishment)
    if hasattr(paper, "usage_report"):
        days = (paper.usage_report.first, paper.usage_report.last)
        return held.filter(job__closing__on__range=days).exists()
    mine = Q(job__closing__certificates__document=paper) | Q(job__case_files__document=paper)
    return held.filter(mine).exists()


def _worked_on(person: Person) -> bool:
    held = running(person.establishment).values("job")
    return (
        Stage.objects.filter(Q(by=person) | Q(corrected__doer__person=person), job__in=held).exists()
        or Job.objects.filter(Q(closing__by=person) | Q(can_tickets__by=person), pk__in=held).exists()
    )
