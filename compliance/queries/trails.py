"""What somebody at the counter asks for: a job, and from it person, card, equipment, cans, deliveries and cylinders."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q, QuerySet

from compliance.models import Document, Job, Visit, VisitPass
from compliance.queries.people import SignedStage, refrigerant_stages, signed
from compliance.queries.sheets import Sheet, job_sheet
from compliance.queries.statements import MachineLine, overview
from inventory.models import Container, Delivery, ShippedCylinder
from shop.core.canonical import sha256
from shop.models import Establishment

MOST = 12  # jobs on one page of answers


@dataclass(frozen=True, slots=True)
class CylinderTrail:
    cylinder: Container
    shipped: tuple[ShippedCylinder, ...]


@dataclass(frozen=True, slots=True)
class Trail:
    """One job and everything that it leads to. ``certificate`` is None while the job is open."""

    job: Job
    plate: str
    certificate: Document | None
    stages: tuple[SignedStage, ...]
    machines: tuple[MachineLine, ...]
    cans: tuple[tuple[Container, Delivery | None], ...]
    cylinders: tuple[CylinderTrail, ...]


def jobs_asked_for(establishment: Establishment, text: str) -> QuerySet[Job]:
    """Jobs by number, by plate or by day (2024-03-04 or 3/4/2024), newest first."""
    wanted = text.strip()
    if not wanted:
        return Job.objects.none()
    asked = Q(number__iexact=wanted) | Q(vehicle__plate__iexact=wanted)
    asked |= Q(stages__checkin__plate__iexact=wanted)
    day = _day(wanted)
    if day is not None:
        asked |= Q(on=day)
    return Job.objects.at_shop(establishment).filter(asked).order_by("-pk").distinct()


def trails(establishment: Establishment, text: str) -> list[Trail]:
    return [trail_of(job) for job in jobs_asked_for(establishment, text)[:MOST]]


def trail_of(job: Job) -> Trail:
    sheet = job_sheet(job)
    certificate = None
    if hasattr(job, "closing"):
        papers = Document.objects.filter(certificate__closing=job.closing).defer("pdf", "facts")
        certificate = papers.order_by("-version").first()
    codes = {one.machine.code for one in sheet.recoveries}
    known = overview(job.establishment, job.on).machines
    return Trail(
        job,
        sheet.check_in.plate,
        certificate,
        tuple(
            signed(job.establishment, refrigerant_stages(job.establishment).filter(job=job).order_by("pk"))
        ),
        tuple(one for one in known if one.machine.code in codes),
        tuple((one.container, _delivery(one.container)) for one in sheet.cans),
        tuple(_cylinders(sheet)),
    )


def _delivery(can: Container) -> Delivery | None:
    delivered = getattr(can, "delivered", None)
    return delivered.line.delivery if delivered is not None else None


def _cylinders(sheet: Sheet) -> list[CylinderTrail]:
    """Each cylinder that the job recovered into, and the shipments it left with on that day or later."""
    found = {one.cylinder_id: one.cylinder for one in sheet.recoveries}
    gone = ShippedCylinder.objects.filter(container__in=list(found), shipment__on__gte=sheet.job.on)
    rows = list(gone.select_related("shipment__facility").order_by("pk"))
    return [
        CylinderTrail(cylinder, tuple(row for row in rows if row.container_id == pk)[:1])
        for pk, cylinder in found.items()
    ]


def _day(text: str) -> date | None:
    for form in ("%Y-%m-%d", "%m/%d/%Y"):
        try:
            return datetime.strptime(text, form).date()
        except ValueError:
            continue
    return None


def visits(establishment: Establishment) -> QuerySet[Visit]:
    """All slips, newest first, with everything on them."""
    rows = Visit.objects.filter(establishment=establishment).select_related("by", "host", "end__by")
    return rows.prefetch_related("shown__by", "copies__by", "questions__by", "passes__end")


def pass_with(code: str) -> VisitPass | None:
    """The pass that a code opens, ended or not; the view asks whether it still runs."""
    rows = VisitPass.objects.select_related("visit__establishment", "visit__end", "end", "by")
    return rows.filter(digest=sha256(code)).first() if code else None


def pass_runs(visit_pass: VisitPass, at: datetime) -> bool:
    return at < visit_pass.until and not hasattr(visit_pass, "end") and not hasattr(visit_pass.visit, "end")
