"""What a correction of a closed job stands on: its book before the job, what was booked for it, what came after."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from django.db.models import Q, QuerySet

from compliance.core.correcting import Settled
from compliance.models import Closing, Job, UsageReport
from compliance.queries.sheets import Sheet, job_sheet
from inventory.core.ledger import Leg, Purpose
from inventory.models import CountLine, Movement, WeighTicket
from inventory.queries import as_put_right
from shop.core.mass import Mass

SETTLES = (Purpose.HEEL, Purpose.FILL)
ENDS = (Purpose.SWAPPED, Purpose.SHIPPED, Purpose.RETURNED, Purpose.DAMAGED)


@dataclass(frozen=True, slots=True)
class InTheWay:
    """Something that was written of a container after the job and stands on what the job had left in it."""

    container: str
    text: str
    at: datetime


def closed_sheet(closing: Closing) -> tuple[Sheet, dict[str, Mass]]:
    """A closed job as it stands, its cans with what the book had in them before it; and that of its wrong cans."""
    sheet = job_sheet(closing.job)
    wrong = [one.container_id for one in sheet.mischarges]
    codes = [*(can.container.code for can in sheet.cans), *wrong]
    before = Movement.objects.filter(entry__lt=closing.entry_id).balances(codes)
    cans = tuple(replace(can, book=before[can.container.code]) for can in sheet.cans)
    return replace(sheet, cans=cans), {code: before[code] for code in wrong}


def booked_legs(closing: Closing) -> tuple[Leg, ...]:
    """Everything the book moved for a job so far: its closing and its slips."""
    rows = Movement.objects.filter(Q(entry=closing.entry_id) | Q(entry__correction__closing=closing))
    return tuple(
        Leg(row.source_id, row.target_id, row.mass, Purpose(row.purpose)) for row in rows.order_by("pk")
    )


def settled_since(closing: Closing, codes: list[str]) -> dict[str, Settled]:
    """Containers whose book was brought to what was found in them since: counted, or weighed empty."""
    events: dict[str, tuple[int, Settled]] = {}
    counted = CountLine.objects.filter(container__in=codes, count__entry__gt=closing.entry_id)
    for code, entry in counted.values_list("container_id", "count__entry_id"):
        _keep_first(events, entry, Settled(code, "unexplained", Purpose.COUNTED))
    for row in _later(closing, codes).filter(purpose__in=SETTLES):
        for code in {row.source_id, row.target_id} & set(codes):
            _keep_first(events, row.entry_id, Settled(code, "fill difference", Purpose.FILL))
    return {code: one for code, (_, one) in events.items()}


def _keep_first(events: dict[str, tuple[int, Settled]], entry: int, one: Settled) -> None:
    held = events.get(one.container)
    if held is None or entry < held[0]:
        events[one.container] = (entry, one)


def in_the_way(closing: Closing, codes: list[str]) -> list[InTheWay]:
    """What ended or exchanged what these containers hold since: then the job's part in it can no longer be told."""
    found: dict[str, InTheWay] = {}
    for row in _later(closing, codes).filter(purpose__in=ENDS).select_related("entry"):
        for code in {row.source_id, row.target_id} & set(codes):
            found.setdefault(code, InTheWay(code, row.entry.text, row.entry.at))
    return list(found.values())


def _later(closing: Closing, codes: list[str]) -> QuerySet[Movement]:
    rows = Movement.objects.filter(Q(source__in=codes) | Q(target__in=codes), entry__gt=closing.entry_id)
    return rows.exclude(entry__correction__closing=closing).order_by("pk")


def next_weighing(ticket: WeighTicket, job: Job) -> WeighTicket | None:
    """The first ticket after this one that speaks of the same container and is not of this job."""
    own = Q(on_job__job=job) | Q(recovery_before__stage__job=job) | Q(recovery_after__stage__job=job)
    rows = WeighTicket.objects.filter(
        container=ticket.container_id, number__gt=ticket.number, set_aside=None, on_job__retyped=None
    ).exclude(own)
    found = rows.order_by("number").first()
    as_put_right([found] if found is not None else [])
    return found


def touched_reports(closing: Closing) -> list[UsageReport]:
    """Signed usage reports that tell of this job and were not replaced or withdrawn."""
    rows = UsageReport.objects.filter(
        document__establishment=closing.job.establishment_id,
        first__lte=closing.on,
        last__gte=closing.on,
        document__replaced_by=None,
        document__withdrawal=None,
    )
    return list(rows.select_related("document").order_by("pk"))
