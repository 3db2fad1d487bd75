"""The lines of a usage report: jobs, people, purchases, and how good the numbers are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Count as Number
from django.db.models import Prefetch, QuerySet
from django.db.models.functions import Coalesce

from compliance.core.certificate_facts import CertificateFacts
from compliance.core.usage_report_facts import (
    JobLine,
    LotLine,
    PurchaseLine,
    Quality,
    ReleaseLine,
    TechnicianLine,
)
from compliance.models import Closing, Document, Retyping
from compliance.queries.facts import local
from inventory.core.ledger import Purpose
from inventory.core.weighing import Origin
from inventory.models import (
    Count,
    DeliveredCan,
    DeliveryLine,
    Fate,
    Invoice,
    Movement,
    Receipt,
    WeighTicket,
)
from shop.core.period import Period
from shop.models import Check, Establishment


@dataclass(frozen=True, slots=True)
class Printed:
    """One closed job of the period with the certificate that holds for it."""

    closing: Closing
    document: Document
    facts: CertificateFacts


def delivered(establishment: Establishment, period: Period) -> QuerySet[DeliveredCan]:
    """Cans that came in a period, each on the day that the book took its receipt in."""
    booked = Coalesce("receipt__entry__on", "line__delivery__entry__on")
    rows = DeliveredCan.objects.filter(
        line__delivery__establishment=establishment, line__delivery__undone=None
    ).alias(booked=booked)
    return rows.filter(booked__range=(period.first, period.last))


def delivered_cans(establishment: Establishment, period: Period, gas: str) -> dict[bool, int]:
    cans = delivered(establishment, period).filter(container__refrigerant=gas)
    rows = dict(cans.order_by().values_list("sound").annotate(cans=Number("pk")))
    return {True: rows.get(True, 0), False: rows.get(False, 0)}


def emptied_cans(establishment: Establishment, period: Period, gas: str) -> int:
    return _ended(establishment, period, gas, Fate.What.EMPTIED)


def given_back_cans(establishment: Establishment, period: Period, gas: str) -> int:
    """Cans that were taken in, and refused later or sent back in the period."""
    return _ended(establishment, period, gas, Fate.What.RETURNED, Fate.What.REFUSED)


def _ended(establishment: Establishment, period: Period, gas: str, *how: str) -> int:
    """How many cans of the cabinet ended so; one refused on arrival never was in it."""
    ended = Fate.objects.filter(
        container__establishment=establishment, container__refrigerant=gas, what__in=how
    )
    days = [local(establishment, fate.at).date() for fate in ended.exclude(container__delivered__sound=False)]
    return sum(1 for day in days if day in period)


def release_lines(job: Printed) -> list[ReleaseLine]:
    charge = job.facts.charge
    if charge is None or charge.released_ug == 0:
        return []
    gas = job.facts.system.refrigerant
    return [
        ReleaseLine(job.closing.on.isoformat(), job.facts.job, gas, charge.released_ug, charge.released_why)
    ]


def disposal_release_lines(establishment: Establishment, period: Period) -> list[ReleaseLine]:
    """What went out with cans that were thrown away with a heel in them."""
    rows = Movement.objects.filter(
        establishment=establishment,
        on__range=(period.first, period.last),
        purpose=Purpose.RELEASED,
        entry__disposal__isnull=False,
    )
    return [
        ReleaseLine(
            row.on.isoformat(), row.source_id, row.refrigerant_id, row.mass.ug, "disposed of with its heel"
        )
        for row in rows.order_by("pk")
    ]


def job_line(job: Printed) -> JobLine:
    facts, charge = job.facts, job.facts.charge
    charged = charge if job.closing.charged else None
    return JobLine(
        day=job.closing.on.isoformat(),
        job=facts.job,
        certificate=str(job.document),
        vehicle=f"{facts.car.description} {facts.car.vin[-6:] or facts.car.plate or job.closing.job.vehicle.last_six}",
        refrigerant=facts.system.refrigerant,
        recovered_ug=sum(one.out_ug for one in facts.recoveries if not one.into)
        - (charge.recovered_back_ug if charge else 0),
        leak=facts.leak_checks[-1].result if facts.leak_checks else "not tested",
        charged_ug=charged.vehicle_ug if charged else None,
        label_ug=facts.system.charge_ug,
        deviation_ug=charged.deviation_ug if charged else None,
        verdict=charged.verdict if charged else "not charged",
        technician=charged.by if charged else facts.made_by,
    )


def technician_lines(jobs: Sequence[Printed]) -> tuple[TechnicianLine, ...]:
    grouped: dict[tuple[str, str], list[Printed]] = {}
    for job in jobs:
        if job.closing.charged and job.facts.charge is not None:
            grouped.setdefault((job.facts.charge.by, job.facts.system.refrigerant), []).append(job)
    return tuple(
        TechnicianLine(
            name=name,
            refrigerant=gas,
            jobs=len(mine),
            charged_ug=sum(job.facts.charge.vehicle_ug for job in mine if job.facts.charge is not None),
            cards_in_force=sum(1 for job in mine if all(doer.card for doer in job.facts.doers)),
        )
        for (name, gas), mine in sorted(grouped.items())
    )


def lot_lines(jobs: Sequence[Printed]) -> tuple[LotLine, ...]:
    """By lot, as the certificates print it: how many cans of it were drawn from, and what came out of them."""
    cans: dict[tuple[str, str], set[str]] = {}
    for_jobs: dict[tuple[str, str], set[str]] = {}
    out: dict[tuple[str, str], int] = {}
    for job in jobs:
        for can in job.facts.charge.cans if job.facts.charge is not None else ():
            key = (job.facts.system.refrigerant, can.lot)
            cans.setdefault(key, set()).add(can.code)
            for_jobs.setdefault(key, set()).add(job.facts.job)
            out[key] = out.get(key, 0) + can.out_ug
    return tuple(LotLine(*key, len(cans[key]), len(for_jobs[key]), out[key]) for key in sorted(out))


def purchase_lines(establishment: Establishment, period: Period) -> tuple[PurchaseLine, ...]:
    """What came in the period, a line for each kind of can and receipt."""
    kin = ("container", "receipt", "line__type", "line__delivery__supplier")
    rows = (
        delivered(establishment, period)
        .select_related(*kin)
        .prefetch_related(
            "container__lots",
            Prefetch("line__delivery__invoices", Invoice.objects.standing(), to_attr="bills"),
        )
    )
    came: dict[tuple[DeliveryLine, Receipt | None], list[DeliveredCan]] = {}
    for can in rows.order_by("line__delivery__on", "line", "pk"):
        came.setdefault((can.line, can.receipt), []).append(can)
    lines = [_purchase(line, receipt, cans) for (line, receipt), cans in came.items()]
    return tuple(sorted(lines, key=lambda line: line.day))


def _purchase(line: DeliveryLine, receipt: Receipt | None, cans: list[DeliveredCan]) -> PurchaseLine:
    sound, delivery = [can for can in cans if can.sound], line.delivery
    bills: list[Invoice] = delivery.bills  # type: ignore[attr-defined] # what purchase_lines prefetched
    return PurchaseLine(
        day=(delivery.on if receipt is None else receipt.on).isoformat(),
        supplier=delivery.supplier.name,
        slip=delivery.slip,
        invoice=", ".join(one.number for one in bills),
        lots=", ".join(sorted({can.container.lot_now for can in sound} - {""})),
        what=str(line.type),
        cans=len(sound),
        mass_ug=(line.type.net * len(sound)).ug,
        asked=delivery.get_asked_display() + (f" ({delivery.asked_of})" if delivery.asked_of else ""),
    )


def counted_days(establishment: Establishment, period: Period) -> list[str]:
    days = Count.objects.filter(establishment=establishment, on__range=(period.day_before, period.last))
    return [day.isoformat() for day in days.order_by("on").values_list("on", flat=True).distinct()]


def quality(establishment: Establishment, period: Period) -> Quality:
    start = period.instants(establishment.time_zone)
    tickets = WeighTicket.objects.filter(establishment=establishment, at__range=start)
    by_origin = dict(tickets.order_by().values_list("origin").annotate(rows=Number("pk")))
    checks = Check.objects.filter(
        equipment__establishment=establishment, equipment__kind="scale", on__range=(period.first, period.last)
    )
    return Quality(
        tickets=sum(by_origin.values()),
        weighed=by_origin.get(Origin.WEIGHED, 0),
        from_label=by_origin.get(Origin.LABEL, 0),
        typed_later=by_origin.get(Origin.TYPED_LATER, 0),
        retyped=Retyping.objects.filter(old__job__establishment=establishment, at__range=start).count(),
        scale_checks=checks.count(),
        scale_checks_passed=checks.filter(passed=True).count(),
        corrections=Document.objects.filter(
            establishment=establishment, kind=Document.Kind.CERTIFICATE, version__gt=1, at__range=start
        ).count(),
    )
