"""Rows behind the tabs of a binder: people, facilities, shipments, tickets, counts."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from zoneinfo import ZoneInfo

from django.db.models.functions import TruncDate

from compliance.core.binder_facts import (
    CardHeld,
    CountFacts,
    FacilityLine,
    HeldLine,
    PersonLine,
    ShipmentLine,
    UnweighedLine,
)
from compliance.models import CanTicket
from compliance.queries.facts import local
from compliance.queries.people import stages_of_days
from inventory.core.weighing import Origin
from inventory.models import Facility, Movement, ShippedCylinder, WeighTicket
from inventory.queries import as_put_right, can_be_shipped, count_sums, counts
from shop.core.mass import ZERO
from shop.core.period import Period
from shop.models import Establishment, Person
from shop.queries import people, work_day

Days = tuple[date, date]


def person_lines(establishment: Establishment, period: Period) -> tuple[int, tuple[PersonLine, ...]]:
    """Stages that no card covers, and everybody who was authorised or signed a refrigerant stage in the range.

    A stage that somebody without a card did is not covered, and it stands on nobody's line of stages."""
    zone = ZoneInfo(establishment.time_zone)
    rows = stages_of_days(establishment, period.first, period.last).annotate(day=TruncDate("at", tzinfo=zone))
    uncarded = rows.exclude(bare="").count()
    days: dict[int, list[date]] = defaultdict(list)
    jobs: dict[int, list[tuple[int, str]]] = defaultdict(list)
    mine = rows.filter(bare="").order_by("pk")
    for by, day, job, number in mine.values_list("doer", "day", "job", "job__number"):
        days[by].append(day)
        jobs[by].append((job, number))
    lines = [
        _person(one, days[one.pk], sorted(set(jobs[one.pk])))
        for one in people(establishment)
        if one.pk in days or _authorised(one, period)
    ]
    lacking = sum(one.stages - one.covered for one in lines)
    return lacking + uncarded, tuple(lines)


def _person(one: Person, days: list[date], jobs: list[tuple[int, str]]) -> PersonLine:
    answers = {day: work_day(one, day).in_force for day in set(days)}
    return PersonLine(
        name=one.name,
        stretches=tuple(
            (each.first_day.isoformat(), each.end.last_day.isoformat() if hasattr(each, "end") else "")
            for each in one.authorisations.all()
        ),
        cards=tuple(
            CardHeld(card.program, card.number, card.issued_on.isoformat(), bool(card.pictured))
            for card in one.cards.all()
        ),
        stages=len(days),
        covered=sum(answers[day] for day in days),
        jobs=len(jobs),
        first_job=jobs[0][1] if jobs else "",
        last_job=jobs[-1][1] if jobs else "",
    )


def _authorised(one: Person, period: Period) -> bool:
    return any(
        each.first_day <= period.last and (not hasattr(each, "end") or each.end.last_day >= period.first)
        for each in one.authorisations.all()
    )


def facility_lines(establishment: Establishment, days: Days) -> tuple[FacilityLine, ...]:
    """Facilities that something was sent to in the range; an address that changed is another facility."""
    sent: dict[int, list[str]] = defaultdict(list)
    rows = establishment.shipments.filter(on__range=days).order_by("pk")
    for facility, number in rows.values_list("facility", "number"):
        sent[facility].append(number)
    known = Facility.objects.in_bulk(list(sent))
    return tuple(
        FacilityLine(known[pk].name, known[pk].address, tuple(numbers)) for pk, numbers in sent.items()
    )


def shipment_lines(establishment: Establishment, days: Days) -> tuple[ShipmentLine, ...]:
    rows = ShippedCylinder.objects.filter(shipment__establishment=establishment, shipment__on__range=days)
    rows = rows.select_related("shipment__facility", "shipment__receipt", "container", "received")
    return tuple(
        ShipmentLine(
            day=one.shipment.on.isoformat(),
            number=one.shipment.number,
            facility=one.shipment.facility.name,
            cylinder=one.container_id,
            refrigerant="mixed" if one.mixed else one.container.refrigerant_id,
            net_ug=one.net.ug,
            receipt=one.shipment.receipt.number if hasattr(one.shipment, "receipt") else "",
            theirs_ug=one.received.net.ug if hasattr(one, "received") else None,
        )
        for one in rows.order_by("pk")
    )


def held_lines(establishment: Establishment) -> tuple[HeldLine, ...]:
    """What is in cylinders now, by the book."""
    cylinders = list(can_be_shipped(establishment))
    books = Movement.objects.balances([one.pk for one in cylinders])
    return tuple(
        HeldLine(one.pk, one.refrigerant_id, books[one.pk].ug) for one in cylinders if books[one.pk] > ZERO
    )


def unweighed_lines(establishment: Establishment, period: Period) -> tuple[UnweighedLine, ...]:
    """Tickets from a label or typed later, with the job they belong to."""
    rows = WeighTicket.objects.filter(
        establishment=establishment, at__range=period.instants(establishment.time_zone), set_aside=None
    )
    tickets = list(rows.exclude(origin=Origin.WEIGHED.value).select_related("by").order_by("number"))
    as_put_right(tickets)
    jobs = dict(CanTicket.objects.filter(ticket__in=tickets).values_list("ticket", "job__number"))
    return tuple(
        UnweighedLine(
            day=local(establishment, one.at).date().isoformat(),
            ticket=one.number,
            container=one.container_id,
            reading=str(one.reading),
            origin=one.origin,
            by=one.by.name,
            job=jobs.get(one.pk, ""),
        )
        for one in tickets
    )


def count_facts(establishment: Establishment, days: Days) -> tuple[CountFacts, ...]:
    """Every count of the range, refrigerant by refrigerant, oldest first."""
    return tuple(
        CountFacts(
            day=count.on.isoformat(),
            refrigerant=one.refrigerant,
            lines=len(one.lines),
            expected_ug=one.expected.ug,
            found_ug=one.found.ug,
            left_out=len(count.left_out.all()),
            opening=count.opening,
            by=count.by.name,
        )
        for count in counts(establishment).filter(on__range=days).order_by("on", "pk")
        for one in count_sums(count)
    )
