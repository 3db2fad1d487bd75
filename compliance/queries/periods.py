"""From the refrigerant book and the closed jobs of a period to the facts of its usage report."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.conf import settings

from compliance.core.certificate_facts import CertificateFacts
from compliance.core.usage_co2e import co2e_facts
from compliance.core.usage_report_facts import (
    NewRefrigerant,
    RecoveredRefrigerant,
    ReleaseLine,
    UsageReportFacts,
)
from compliance.models import Certificate, Job
from compliance.queries.certificate_facts import shop_facts
from compliance.queries.closures import closures
from compliance.queries.facts import local
from compliance.queries.period_corrections import correction_lines, corrections_moved
from compliance.queries.period_lines import (
    Printed,
    counted_days,
    delivered_cans,
    disposal_release_lines,
    emptied_cans,
    given_back_cans,
    job_line,
    lot_lines,
    purchase_lines,
    quality,
    release_lines,
    technician_lines,
)
from inventory.core.ledger import PlaceKind, Purpose
from inventory.models import (
    Count,
    CountLine,
    Refrigerant,
)
from inventory.queries import Flows, flows_in, held_by, moved
from shop.core.canonical import rebuild
from shop.core.mass import ZERO, Mass
from shop.core.period import Period
from shop.models import Establishment, Person

CAN, CYLINDER = PlaceKind.CAN, PlaceKind.CYLINDER


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
    co2e: str = "",
) -> UsageReportFacts:
    """Every figure of a usage report, from rows: sums in SQL, jobs from the certificates that hold. ``co2e`` is the
    key of the table that releases are weighed by, or "" for none."""
    before, inside = flows_in(establishment, period)
    jobs = certificates_in(establishment, period)
    gases = [
        code
        for code in Refrigerant.objects.values_list("code", flat=True)
        if any(key[0] == code for key in before.keys() | inside.keys())
    ]
    new = tuple(_new(establishment, period, gas, before, inside, jobs) for gas in gases)
    recovered = tuple(_recovered(establishment, period, gas, before, inside, jobs) for gas in gases)
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
        new=new,
        recovered=recovered,
        releases=tuple(_releases(establishment, period, jobs)),
        jobs=tuple(job_line(job) for job in jobs),
        technicians=technician_lines(jobs),
        purchases=purchase_lines(establishment, period),
        closures=closures(establishment, period, gases),
        quality=quality(establishment, period),
        counts=tuple(counted_days(establishment, period)),
        unfinished=tuple(unfinished(establishment, period)),
        signed=signed,
        recorded_under="shop rules as of " + period.last.isoformat(),
        check_url=check_url,
        replaces=replaces,
        practice=settings.PRACTICE,
        co2e=co2e_facts(co2e, new, recovered),
        lots=lot_lines(jobs),
        corrections=correction_lines(establishment, period),
    )


def _releases(establishment: Establishment, period: Period, jobs: Sequence[Printed]) -> list[ReleaseLine]:
    """What got away on jobs and with cans that were disposed of, day by day."""
    lines = [line for job in jobs for line in release_lines(job)]
    lines += disposal_release_lines(establishment, period)
    return sorted(lines, key=lambda line: line.day)


def _lines_on(establishment: Establishment, day: date, gas: str, kind: str) -> list[CountLine]:
    """Each container as it was last counted on a day; counted twice, it is one container. What a later count of the
    day could not find because its use had ended was not there any more."""
    lines = CountLine.objects.filter(
        count__establishment=establishment, count__on=day, container__refrigerant=gas
    )
    lines = lines.filter(container__kind=kind).select_related("count", "container__fate").order_by("pk")
    newest = {line.container_id: line for line in lines}
    last = max((line.count.at for line in newest.values()), default=None)
    return [line for line in newest.values() if not _ended_before(line, last)]


def _ended_before(line: CountLine, last: datetime | None) -> bool:
    fate = getattr(line.container, "fate", None)
    return fate is not None and last is not None and line.count.at < fate.at < last


def _sealed(lines: Sequence[CountLine]) -> int:
    return sum(1 for line in lines if line.how == CountLine.How.SEALED)


def _open(lines: Sequence[CountLine]) -> int:
    opened = (CountLine.How.WEIGHED, CountLine.How.LAST_TICKET)
    return sum(1 for line in lines if line.how in opened)


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
        rows = sum(rows for key, (_, rows) in inside.items() if key[0] == gas and key[1] in names)
        return rows - sum(number for key, number in by_slips.items() if key[0] == gas and key[1] in names)

    by_slips = corrections_moved(establishment, period)
    opening = held_by(before, gas, CAN) - out(Purpose.OPENING)
    received, fill = -out(Purpose.RECEIVED), -out(Purpose.FILL)
    damaged, returned = -out(Purpose.DAMAGED), out(Purpose.RETURNED)
    vehicles, hoses, back = out(Purpose.CHARGED), out(Purpose.HOSES), out(Purpose.RECOVERED_BACK)
    heels, released = out(Purpose.HEEL), out(Purpose.PURGED, Purpose.RELEASED)
    expected = opening + received + damaged + fill - vehicles - hoses - back - heels - released - returned
    lines = _lines_on(establishment, period.last, gas, CAN)
    difference = -out(Purpose.COUNTED) if lines else None
    first = _lines_on(establishment, period.day_before, gas, CAN)
    charged = [job for job in jobs if job.closing.charged and job.facts.system.refrigerant == gas]
    delivered = delivered_cans(establishment, period, gas)
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
        returned_ug=returned.ug,
        expected_ug=expected.ug,
        counted_ug=(expected + difference).ug if difference is not None else None,
        counted_basis=f"count of {period.last.isoformat()}" if lines else "not counted on the last day",
        counted_sealed=_sealed(lines),
        counted_open=_open(lines),
        difference_ug=difference.ug if difference is not None else None,
        handled_ug=(opening + received).ug,
        emptied_cans=emptied_cans(establishment, period, gas),
        damaged_ug=damaged.ug,
        lost_before_ug=inside.get((gas, Purpose.DAMAGED, CAN, PlaceKind.AIR), (ZERO, 0))[0].ug,
        given_back_cans=given_back_cans(establishment, period, gas),
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
