"""Everything that was written of one closed job, for its case file."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.conf import settings
from django.db.models import QuerySet

from compliance.core.case_file_facts import (
    CaseFileFacts,
    EquipmentFacts,
    HoldFacts,
    OriginFacts,
    PhotoFacts,
    ScaleCheckFacts,
    TicketFacts,
    VisitFacts,
)
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.stages import StageKind
from compliance.models import Certificate, Document, Photo
from compliance.queries.corrections import corrections_of
from compliance.queries.facts import local
from compliance.queries.finding import charged_in
from compliance.queries.holds import hold_of
from compliance.queries.jobs import vehicle_history
from compliance.queries.sheets import Sheet, job_sheet
from inventory.models import DeliveredCan, WeighTicket
from shop.core.canonical import rebuild
from shop.models import Equipment, Person
from shop.queries import equipment


def case_file_facts(
    document: Document, *, number: str, check_url: str, why: str, at: datetime, by: Person
) -> CaseFileFacts:
    """The facts of a case file beside the newest certificate of its job."""
    job = document.certificate.closing.job
    sheet, held = job_sheet(job), hold_of(job)
    facts = rebuild(CertificateFacts, document.facts)

    def time(instant: datetime) -> str:
        return local(job.establishment, instant).isoformat(timespec="minutes")

    return CaseFileFacts(
        number=number,
        version=1,
        made_at=time(at),
        made_by=by.name,
        why=why,
        certificate=facts,
        hold=HoldFacts(held.why, held.by.name, time(held.at)) if held is not None else None,
        tickets=tuple(_tickets(sheet)),
        checks=tuple(_checks(sheet)),
        equipment=tuple(_equipment(sheet, facts)),
        origins=tuple(_origins(sheet)),
        visits=tuple(_visits(sheet)),
        photos=tuple(
            PhotoFacts(
                one.sha256, one.what, StageKind(one.stage).label, one.caption, time(one.at), one.by.name
            )
            for one in case_photos(sheet).defer("jpeg")
        ),
        signed=f"{by.name}, signed on as {by.username}, {time(at)}",
        check_url=check_url,
        practice=settings.PRACTICE,
    )


def case_photos(sheet: Sheet) -> QuerySet[Photo]:
    """The photos of the job that were not set aside, in the order they were taken."""
    return Photo.objects.shown().filter(job=sheet.job).select_related("by").order_by("pk")


def _weighed(sheet: Sheet) -> list[tuple[WeighTicket, str]]:
    """Every weighing of the job with its moment, in the order of the tickets."""
    rows = [(row.ticket, str(row.moment)) for can in sheet.cans for row in can.tickets]
    for one in sheet.recoveries:
        rows += [(one.before, "before"), (one.after, "after")]
    for wrong in sheet.mischarges:
        rows += [(wrong.before, "before"), (wrong.after, "after")]
    return sorted(rows, key=lambda row: row[0].number)


def _tickets(sheet: Sheet) -> Iterable[TicketFacts]:
    stood: dict[int, str] = {}
    for slip in corrections_of(sheet.job):
        for field in slip.fields.all():
            if field.ticket_id is not None:
                stood.setdefault(field.ticket_id, field.old)
    people = Person.objects.in_bulk([ticket.by_id for ticket, _ in _weighed(sheet)])
    scales = Equipment.objects.in_bulk([ticket.scale_id for ticket, _ in _weighed(sheet)])
    for ticket, when in _weighed(sheet):
        how = ticket.style if ticket.origin == "weighed" else ticket.origin
        yield TicketFacts(
            ticket.number,
            ticket.container_id,
            when,
            str(ticket.reading),
            scales[ticket.scale_id].code,
            how,
            local(sheet.job.establishment, ticket.at).isoformat(timespec="minutes"),
            people[ticket.by_id].name,
            stood.get(ticket.pk, ""),
        )


def _checks(sheet: Sheet) -> Iterable[ScaleCheckFacts]:
    """Of each scale that was used, the last check up to the job's day and the first one after it."""
    used = dict.fromkeys(ticket.scale_id for ticket, _ in _weighed(sheet))
    scales = {one.pk: one for one in equipment(sheet.job.establishment, "scale")}
    for pk in used:
        checks = list(scales[pk].checks.all())
        before = next((one for one in checks if one.on <= sheet.job.on), None)
        after = next((one for one in reversed(checks) if one.on > sheet.job.on), None)
        for side, check in (("before", before), ("after", after)):
            if check is None:
                yield ScaleCheckFacts(scales[pk].code, side, "", "")
            else:
                weights = (check.known.ug, check.shown.ug)
                day = check.on.isoformat()
                yield ScaleCheckFacts(scales[pk].code, side, day, check.against, *weights, check.passed)


def _equipment(sheet: Sheet, facts: CertificateFacts) -> Iterable[EquipmentFacts]:
    """What the records name: machines, scales, pumps, detectors."""
    named = {one.machine for one in facts.recoveries} | {one.pump for one in facts.evacuations}
    named |= {one.instrument for one in facts.leak_checks} | {one.gauge for one in facts.evacuations}
    named |= {one.scale for one in facts.charge.cans} if facts.charge is not None else set()
    for one in equipment(sheet.job.establishment):
        if one.code in named:
            plate = " ".join(part for part in (one.maker, one.model, one.serial) if part)
            yield EquipmentFacts(one.code, one.get_kind_display(), plate, one.standard)


def _origins(sheet: Sheet) -> Iterable[OriginFacts]:
    codes = [can.container.code for can in sheet.cans]
    kin = ("line__delivery__supplier", "receipt")
    came = {
        one.container_id: one for one in DeliveredCan.objects.filter(container__in=codes).select_related(*kin)
    }
    for can in sheet.cans:
        what, lot = can.container.can.type.name, can.container.lot_now
        one = came.get(can.container.code)
        if one is None:
            yield OriginFacts(
                can.container.code, what, lot, "before the book", "", "", can.container.came_on.isoformat()
            )
            continue
        delivery = one.line.delivery
        on = one.receipt.on if one.receipt is not None else delivery.on
        said = (delivery.number, delivery.slip, delivery.supplier.name, on.isoformat())
        yield OriginFacts(can.container.code, what, lot, *said)


def _visits(sheet: Sheet) -> Iterable[VisitFacts]:
    earlier = list(vehicle_history(sheet.job.vehicle).filter(pk__lt=sheet.job.pk))
    put_in = charged_in(earlier)
    papers = Certificate.objects.filter(closing__job__in=earlier, document__replaced_by=None)
    by_job = {one.closing.job_id: one.document for one in papers.select_related("document", "closing")}
    for job in earlier:
        document = by_job.get(job.pk)
        then = job_sheet(job)
        checks = then.leak_checks
        charged = document is not None and job.closing.charged
        yield VisitFacts(
            job.number,
            job.on.isoformat(),
            then.refrigerant,
            put_in[job.pk].ug if charged and job.pk in put_in else None,
            checks[-1].result if checks else "not tested",
            str(document) if document is not None else "",
        )
