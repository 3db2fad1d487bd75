"""Jobs, papers and photos as sheets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

from django.db.models import QuerySet

from compliance.models import CheckIn, Document, Job, Label, Photo
from compliance.queries import paper_state
from compliance.queries.booked import booked_for
from compliance.queries.jobs import check_ins
from inventory.core.ledger import PlaceKind, Purpose
from shop.core.mass import Mass
from shop.core.sheet import Sheet, Value, columns, weighed
from shop.models import Establishment
from shop.sheets import clock

Rows = Iterator[tuple[Value, ...]]
INSIDE = (PlaceKind.CAN, PlaceKind.CYLINDER)
FROM: dict[str, str] = {Purpose.RECOVERED: PlaceKind.VEHICLES, Purpose.RECOVERED_BACK: PlaceKind.CAN}
AT_ONCE = 500  # jobs read together


def jobs_sheet(establishment: Establishment, only: QuerySet[Job] | None = None) -> Sheet:
    """Every job, or ``only`` these, with its car, what its label asks for, and what went out and in by the book."""
    rows = Job.objects.filter(establishment=establishment) if only is None else only
    return Sheet(
        "jobs",
        "Jobs, open ones too. The masses are the book's, so an open job has none yet.",
        (
            *columns(
                ("number", "the job"),
                ("checked_in_on", "day"),
                ("vin", "as typed"),
                ("plate", "at this visit, as typed"),
                ("vehicle", "what it is"),
                ("customer", "whose car it was"),
                ("phone", "as typed"),
                ("repair_order", "as typed"),
                ("odometer", "as typed"),
                ("complaint", "as typed"),
                ("refrigerant", "on its label"),
            ),
            *weighed("label", "charge on the label"),
            *weighed("tolerance", "tolerance on the label; empty when none is printed"),
            *columns(
                ("state", "open, charged or not charged"),
                ("worked_on", "day that the work belongs to"),
                ("recovered_g", "out of the vehicle into cylinders, g, exact"),
                ("charged_g", "out of cans into the vehicle, g, exact; what was recovered back is not in it"),
                ("recovered_back_g", "charged and taken out again into cylinders, g, exact"),
                ("hoses_g", "left in the hoses, g, exact"),
                ("air_g", "purged or released, g, exact"),
                ("certificate", "its newest version's number"),
                ("checked_in_by", "who"),
                ("closed_by", "who signed"),
                ("closed_at", "when, on the shop's clock"),
            ),
        ),
        _jobs(establishment, rows.order_by("pk")),
    )


def _jobs(establishment: Establishment, rows: QuerySet[Job]) -> Rows:
    jobs = rows.select_related("vehicle", "by", "closing__by").iterator(chunk_size=AT_ONCE)
    while together := list(islice(jobs, AT_ONCE)):
        seen, moved, papers = check_ins(together), _moved(together), _papers_of(together)
        for job in together:
            yield _car(job, seen[job.pk]) + _work(
                establishment, job, moved.get(job.pk, {}), papers.get(job.pk)
            )


def _moved(jobs: Iterable[Job]) -> dict[int, dict[str, Mass]]:
    """What the book moved for each job, by purpose; what a correction slip gave back is taken off."""
    moved: dict[int, dict[str, Mass]] = {}
    for one in booked_for(list(jobs)):
        forth = one.source == FROM[one.purpose] if one.purpose in FROM else one.target not in INSIDE
        mine = moved.setdefault(one.job, {})
        mine[one.purpose] = mine.get(one.purpose, Mass(0)) + (one.mass if forth else -one.mass)
    return moved


def _papers_of(jobs: Iterable[Job]) -> dict[int, str]:
    papers = Document.objects.filter(certificate__closing__job__in=jobs, replaced_by=None)
    rows = papers.values_list("certificate__closing__job", "number", "version")
    return {job: f"{number} version {version}" if version > 1 else number for job, number, version in rows}


def _car(job: Job, seen: CheckIn) -> tuple[Value, ...]:
    label: Label | None = getattr(seen.stage, "label", None)
    return (
        *(
            job.number,
            job.on,
            job.vehicle.vin,
            seen.plate,
            job.vehicle.description,
            seen.customer,
            seen.phone,
        ),
        *(seen.repair_order, seen.odometer, seen.complaint, seen.refrigerant_id),
        *((label.charge_text, label.charge_unit, label.charge) if label else (None,) * 3),
        *(
            (label.tolerance_text, label.tolerance_unit, label.tolerance)
            if label and label.tolerance_text
            else (None,) * 3
        ),
    )


def _work(
    establishment: Establishment, job: Job, moved: dict[str, Mass], paper: str | None
) -> tuple[Value, ...]:
    if not hasattr(job, "closing"):
        return ("open", *(None,) * 7, job.by.name, None, None)
    air = [moved[one] for one in (Purpose.PURGED, Purpose.RELEASED) if one in moved]
    return (
        "charged" if job.closing.charged else "not charged",
        job.closing.on,
        *(moved.get(one, Mass(0)) for one in (Purpose.RECOVERED, Purpose.CHARGED, Purpose.RECOVERED_BACK)),
        moved.get(Purpose.HOSES, Mass(0)),
        Mass(sum(mass.ug for mass in air)),
        paper,
        job.by.name,
        job.closing.by.name,
        clock(establishment, job.closing.at),
    )


def papers_sheet(establishment: Establishment, only: QuerySet[Document] | None = None) -> Sheet:
    """Every version of every paper, or ``only`` these, with its hashes; the papers themselves are PDF."""
    papers = Document.objects.filter(establishment=establishment) if only is None else only
    rows = papers.defer("pdf", "facts").order_by("pk")
    related = ("by", "replaced_by", "withdrawal", "certificate__closing__job", "usage_report")
    return Sheet(
        "papers",
        "Every numbered paper, every version.",
        columns(
            ("number", "the paper"),
            ("version", "1 is the first"),
            (
                "kind",
                "certificate, usage report, shipment, equipment statement, case file or inspection binder",
            ),
            ("dated", "day"),
            ("state", "current, replaced or withdrawn"),
            ("job", "that a certificate speaks of"),
            ("first_day", "of a usage report"),
            ("last_day", "of a usage report"),
            ("why", "this version was made"),
            ("facts_sha256", "of what it was drawn from"),
            ("pdf_sha256", "of the PDF"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
        ),
        (_paper(establishment, one) for one in rows.select_related(*related).iterator(chunk_size=AT_ONCE)),
    )


def _paper(establishment: Establishment, one: Document) -> tuple[Value, ...]:
    report = one.usage_report if hasattr(one, "usage_report") else None
    job = one.certificate.closing.job.number if hasattr(one, "certificate") else None
    return (
        *(one.number, one.version, one.kind, one.dated, paper_state(one), job),
        *((report.first, report.last) if report else (None, None)),
        *(one.why, one.facts_sha256, one.pdf_sha256, one.by.name, clock(establishment, one.at)),
    )


def photos_sheet(establishment: Establishment, only: QuerySet[Photo] | None = None) -> Sheet:
    """Which photos there are; the pictures themselves go out with the whole shop."""
    photos = Photo.objects.filter(job__establishment=establishment) if only is None else only
    rows = photos.defer("jpeg").order_by("pk")
    return Sheet(
        "photos",
        "Photos of jobs, also those set aside. file is the name in the whole-shop export.",
        columns(
            ("file", "name of the picture"),
            ("job", "that it belongs to"),
            ("stage", "at which it was taken"),
            ("what", "it shows"),
            ("caption", "as typed"),
            ("sha256", "of the picture"),
            ("set_aside", "why it is no longer shown; empty when it is"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
        ),
        (
            (
                photo_name(one),
                one.job.number,
                one.stage,
                one.what,
                one.caption,
                one.sha256,
                one.set_aside.why if hasattr(one, "set_aside") else None,
                one.by.name,
                clock(establishment, one.at),
            )
            for one in rows.select_related("job", "by", "set_aside").iterator(chunk_size=AT_ONCE)
        ),
    )


def photo_name(photo: Photo) -> str:
    """Its name in the whole-shop export."""
    return f"photos/{photo.job.number}/{photo.pk}-{photo.what}.jpg"
