"""From the refrigerant book and the closed jobs of a period to the facts of its usage report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db.models import Count as Number

from compliance.core.certificate_facts import CertificateFacts
from compliance.core.usage_report_facts import (
    JobLine,
    NewRefrigerant,
    PurchaseLine,
    Quality,
    RecoveredRefrigerant,
    ReleaseLine,
    TechnicianLine,
    UsageReportFacts,
)
from compliance.models import Certificate, Closing, Document, Job, Retyping
from compliance.queries.certificate_facts import shop_facts
from compliance.queries.closures import closures
from compliance.queries.facts import local
from inventory.core.ledger import PlaceKind, Purpose
from inventory.core.weighing import Origin
from inventory.models import Count, CountLine, DeliveredCan, Delivery, DeliveryLine, Fate, Refrigerant, WeighTicket
from inventory.queries import Flows, flows_in, held_by, moved
from shop.core.canonical import rebuild
from shop.core.mass import Mass
from shop.core.period import Period
from shop.models import Check, Establishment, Person

CAN, CYLINDER = PlaceKind.CAN, PlaceKind.CYLINDER


@dataclass(frozen=True, slots=True)
class Printed:
    """One closed job of the period with the certificate that holds for it."""

    closing: Closing
    document: Document
    facts: CertificateFacts


def certificates_in(establishment: Establishment, period: Period) -> list[Printed]:
    """The newest certificate of every job that was closed for a day of the period, in the order of work."""
    rows = (
        Certificate.objects.filter(
            closing__job__establishment=establishment, closing__on__range=(period.first, period.last)
        )
        .filter(document__replaced_by=None)
        .select_related("document", "closing__job__vehicle", "closing__by")
        .defer("document__pdf")
        .order_by("closing__on", "closing_id")
    )
    return [Printed(row.closing, row.document, rebuild(CertificateFacts, row.document.facts)) for row in rows]


def unfinished(establishment: Establishment, period: Period) -> list[str]:
    """What stops a report of this period from being signed, in words."""
    waiting = Job.objects.at_shop(establishment).open().filter(on__lte=period.last)
    found = [f"{job.number} of {job.on:%b} {job.on.day} is still open." for job in waiting.order_by("pk")]
    if not Count.objects.filter(establishment=establishment, on=period.last).exists():
        found.append(
            f"The cabinet was not counted on {period.last:%b} {period.last.day}; the difference is unknown."
        )
    return found


def stops_signing(establishment: Establishment, period: Period) -> bool:
    """An open job stops the signature; a missing count is said on the report and does not."""
    return Job.objects.at_shop(establishment).open().filter(on__lte=period.last).exists()


def usage_facts(
    establishment: Establishment,
    period: Period,
    *,
    number: str,
    version: int,
    check_url: str,
    signed: str,
    at: datetime,
    by: Person,
    replaces: str = "",
) -> UsageReportFacts:
    """Every figure of a usage report, from rows: sums in SQL, jobs from the certificates that hold."""
    before, inside = flows_in(establishment, period)
    jobs = certificates_in(establishment, period)
    gases = [
        code
        for code in Refrigerant.objects.values_list("code", flat=True)
        if any(key[0] == code for key in before.keys() | inside.keys())
    ]
    return UsageReportFacts(
        number=number,
        version=version,
        first=period.first.isoformat(),
        last=period.last.isoformat(),
        made_at=local(establishment, at).isoformat(timespec="minutes"),
        made_by=by.name,
        shop=shop_facts(establishment),
        vehicles=len({job.closing.job.vehicle_id for job in jobs}),
        stopped_jobs=sum(1 for job in jobs if not job.closing.charged),
        new=tuple(_new(establishment, period, gas, before, inside, jobs) for gas in gases),
        recovered=tuple(_recovered(establishment, period, gas, before, inside, jobs) for gas in gases),
        releases=tuple(line for job in jobs for line in _release(job)),
        jobs=tuple(_job(job) for job in jobs),
        technicians=_technicians(jobs),
        purchases=_purchases(establishment, period),
        closures=closures(establishment, period, gases),
        quality=_quality(establishment, period),
        counts=tuple(_counted_days(establishment, period)),
        unfinished=tuple(unfinished(establishment, period)),
        signed=signed,
        recorded_under="shop rules as of " + period.last.isoformat(),
        check_url=check_url,
        replaces=replaces,
        practice=settings.PRACTICE,
    )


def _lines_on(establishment: Establishment, day: date, gas: str, kind: str) -> list[CountLine]:
    lines = CountLine.objects.filter(
        count__establishment=establishment, count__on=day, container__refrigerant=gas
    )
    return list(lines.filter(container__kind=kind))


def _sealed(lines: Sequence[CountLine]) -> int:
    return sum(1 for line in lines if line.how == CountLine.How.SEALED)


def _open(lines: Sequence[CountLine]) -> int:
    return sum(1 for line in lines if line.how == CountLine.How.WEIGHED)


def _new(
    establishment: Establishment,
    period: Period,
    gas: str,
    before: Flows,
    inside: Flows,
    jobs: Sequence[Printed],
) -> NewRefrigerant:
    def out(*purposes: Purpose) -> Mass:
        return moved(inside, gas, purposes, out_of=CAN)

    def events(*purposes: Purpose) -> int:
        names = {purpose.value for purpose in purposes}
        return sum(rows for key, (_, rows) in inside.items() if key[0] == gas and key[1] in names)

    opening = held_by(before, gas, CAN) - out(Purpose.OPENING)
    received, fill = -out(Purpose.RECEIVED, Purpose.RETURNED), -out(Purpose.FILL)
    vehicles, hoses, back = out(Purpose.CHARGED), out(Purpose.HOSES), out(Purpose.RECOVERED_BACK)
    heels, released = out(Purpose.HEEL), out(Purpose.PURGED, Purpose.RELEASED)
    expected = opening + received + fill - vehicles - hoses - back - heels - released
    lines = _lines_on(establishment, period.last, gas, CAN)
    difference = -out(Purpose.COUNTED) if lines else None
    first = _lines_on(establishment, period.day_before, gas, CAN)
    charged = [job for job in jobs if job.closing.charged and job.facts.system.refrigerant == gas]
    delivered = _delivered(establishment, period, gas)
    return NewRefrigerant(
        refrigerant=gas,
        opening_ug=opening.ug,
        opening_basis=f"count of {period.day_before.isoformat()}" if first else "the book",
        opening_sealed=_sealed(first),
        opening_open=_open(first),
        received_ug=received.ug,
        received_cans=delivered[True],
        refused_cans=delivered[False],
        fill_ug=fill.ug,
        fill_cans=events(Purpose.FILL),
        vehicles_ug=vehicles.ug,
        vehicle_jobs=len(charged),
        hoses_ug=hoses.ug,
        recovered_back_ug=back.ug,
        heels_ug=heels.ug,
        released_ug=released.ug,
        released_events=events(Purpose.RELEASED),
        returned_ug=0,
        expected_ug=expected.ug,
        counted_ug=(expected + difference).ug if difference is not None else None,
        counted_basis=f"count of {period.last.isoformat()}" if lines else "not counted on the last day",
        counted_sealed=_sealed(lines),
        counted_open=_open(lines),
        difference_ug=difference.ug if difference is not None else None,
        handled_ug=(opening + received).ug,
        emptied_cans=_emptied(establishment, period, gas),
    )


def _recovered(
    establishment: Establishment,
    period: Period,
    gas: str,
    before: Flows,
    inside: Flows,
    jobs: Sequence[Printed],
) -> RecoveredRefrigerant:
    def into(*purposes: Purpose) -> Mass:
        return -moved(inside, gas, purposes, out_of=CYLINDER)

    opening = held_by(before, gas, CYLINDER) + into(Purpose.OPENING)
    vehicles, back, heels = into(Purpose.RECOVERED), into(Purpose.RECOVERED_BACK), into(Purpose.HEEL)
    charged, shipped, released = into(Purpose.CHARGED), into(Purpose.SHIPPED), into(Purpose.RELEASED)
    expected = opening + vehicles + back + heels + charged + shipped + released
    lines = _lines_on(establishment, period.last, gas, CYLINDER)
    difference = into(Purpose.COUNTED) if lines else None
    from_jobs = [job for job in jobs if job.facts.system.refrigerant == gas and job.facts.recoveries]
    return RecoveredRefrigerant(
        refrigerant=gas,
        opening_ug=opening.ug,
        vehicles_ug=vehicles.ug,
        vehicle_jobs=len(from_jobs),
        recovered_back_ug=back.ug,
        heels_ug=heels.ug,
        charged_ug=-charged.ug,
        shipped_ug=-shipped.ug,
        released_ug=-released.ug,
        expected_ug=expected.ug,
        weighed_ug=(expected + difference).ug if difference is not None else None,
        difference_ug=difference.ug if difference is not None else None,
    )


def _delivered(establishment: Establishment, period: Period, gas: str) -> dict[bool, int]:
    cans = DeliveredCan.objects.filter(
        line__delivery__establishment=establishment,
        line__delivery__on__range=(period.first, period.last),
        line__delivery__undone=None,
        container__refrigerant=gas,
    )
    rows = dict(cans.values_list("sound").annotate(cans=Number("pk")))
    return {True: rows.get(True, 0), False: rows.get(False, 0)}


def _emptied(establishment: Establishment, period: Period, gas: str) -> int:
    ended = Fate.objects.filter(container__establishment=establishment, container__refrigerant=gas)
    days = [local(establishment, fate.at).date() for fate in ended.filter(what=Fate.What.EMPTIED)]
    return sum(1 for day in days if day in period)


def _release(job: Printed) -> list[ReleaseLine]:
    charge = job.facts.charge
    if charge is None or charge.released_ug == 0:
        return []
    gas = job.facts.system.refrigerant
    return [
        ReleaseLine(job.closing.on.isoformat(), job.facts.job, gas, charge.released_ug, charge.released_why)
    ]


def _job(job: Printed) -> JobLine:
    facts, charge = job.facts, job.facts.charge
    charged = charge if job.closing.charged else None
    return JobLine(
        day=job.closing.on.isoformat(),
        job=facts.job,
        certificate=str(job.document),
        vehicle=f"{facts.car.description} {job.closing.job.vehicle.last_six}",
        refrigerant=facts.system.refrigerant,
        recovered_ug=sum(one.out_ug for one in facts.recoveries)
        - (charge.recovered_back_ug if charge else 0),
        leak=facts.leak_checks[-1].result if facts.leak_checks else "not tested",
        charged_ug=charged.vehicle_ug if charged else None,
        label_ug=facts.system.charge_ug,
        deviation_ug=charged.deviation_ug if charged else None,
        verdict=charged.verdict if charged else "not charged",
        technician=charged.by if charged else facts.made_by,
    )


def _technicians(jobs: Sequence[Printed]) -> tuple[TechnicianLine, ...]:
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


def _purchases(establishment: Establishment, period: Period) -> tuple[PurchaseLine, ...]:
    rows = (
        Delivery.objects.filter(
            establishment=establishment, on__range=(period.first, period.last), undone=None
        )
        .select_related("supplier")
        .prefetch_related("lines__type", "lines__cans__container", "invoices")
        .order_by("on", "pk")
    )
    return tuple(_purchase(delivery, line) for delivery in rows for line in delivery.lines.all())


def _purchase(delivery: Delivery, line: DeliveryLine) -> PurchaseLine:
    lots = sorted({can.container.lot for can in line.cans.all() if can.sound and can.container.lot})
    invoices = list(delivery.invoices.all())
    return PurchaseLine(
        day=delivery.on.isoformat(),
        supplier=delivery.supplier.name,
        slip=delivery.slip,
        invoice=invoices[-1].number if invoices else "",
        lots=", ".join(lots),
        what=str(line.type),
        cans=line.sound,
        mass_ug=(line.type.net * line.sound).ug,
        asked=delivery.get_asked_display() + (f" ({delivery.asked_of})" if delivery.asked_of else ""),
    )


def _counted_days(establishment: Establishment, period: Period) -> list[str]:
    days = Count.objects.filter(establishment=establishment, on__range=(period.day_before, period.last))
    return [day.isoformat() for day in days.order_by("on").values_list("on", flat=True).distinct()]


def _quality(establishment: Establishment, period: Period) -> Quality:
    start = _start(establishment, period)
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


def _start(establishment: Establishment, period: Period) -> tuple[datetime, datetime]:
    zone = ZoneInfo(establishment.time_zone)
    return (
        datetime.combine(period.first, time.min, zone),
        datetime.combine(period.last, time.max, zone),
    )
