"""What passes to a buyer on the day of the closing count."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.conf import settings
from django.db.models import QuerySet

from compliance.core.hand_over import CountedOver, HandOverFacts
from compliance.core.statement import MachineStated, PersonListed
from compliance.models import Job
from compliance.queries.certificate_facts import shop_facts
from compliance.queries.facts import local
from compliance.queries.statements import NEW_OWNER_DAYS, in_service_on, machines
from inventory.models import Count, CountLine
from inventory.queries import containers, in_the_cabinet
from shop.models import Establishment, Person
from shop.queries import people, work_day

CLOSING_COUNT = timedelta(days=60)  # how old a closing count may be that is offered


def closing_counts(establishment: Establishment, day: date) -> QuerySet[Count]:
    """Counts that a sale can rest on: signed within the last sixty days, the newest first; no opening count."""
    rows = Count.objects.filter(establishment=establishment, opening=False, on__lte=day)
    return rows.filter(on__gte=day - CLOSING_COUNT).select_related("by").order_by("-on", "-pk")


def may_stay(establishment: Establishment) -> list[Person]:
    """Everybody who works here now."""
    return [one for one in people(establishment) if one.is_active and one.leaves_on is None]


def sale_due(count: Count) -> date:
    """The buyer's day for the equipment statement: thirty days, from memory."""
    return count.on + NEW_OWNER_DAYS


def hand_over_facts(
    establishment: Establishment,
    count: Count,
    *,
    buyer: str,
    staff: list[Person],
    with_customers: bool,
    at: datetime,
    by: Person,
) -> HandOverFacts:
    lines = list(CountLine.objects.filter(count=count).select_related("container").order_by("container"))
    book = {one.pk: one.book for one in containers(establishment)}
    here = {one.pk for one in in_the_cabinet(establishment)}
    day = local(establishment, at).date()
    return HandOverFacts(
        shop=shop_facts(establishment),
        seller=by.name,
        buyer=buyer,
        on=count.on.isoformat(),
        due=sale_due(count).isoformat(),
        made_at=local(establishment, at).isoformat(timespec="minutes"),
        made_by=by.name,
        counted_by=count.by.name,
        containers=tuple(
            CountedOver(
                one.container_id,
                one.container.kind,
                one.container.refrigerant_id,
                one.how,
                one.found.ug,
                book[one.container_id].ug,
            )
            for one in lines
        ),
        not_counted=tuple(sorted(here - {one.container_id for one in lines})),
        open_jobs=tuple(
            (job.number, job.on.isoformat())
            for job in Job.objects.filter(establishment=establishment).open().order_by("pk")
        ),
        staff=tuple(_listed(person, day) for person in staff),
        machines=tuple(
            MachineStated(one.code, one.maker, one.model, one.made, one.serial)
            for one in machines(establishment)
            if in_service_on(one, count.on)
        ),
        with_customers=with_customers,
        practice=settings.PRACTICE,
    )


def _listed(person: Person, day: date) -> PersonListed:
    card = work_day(person, day).card
    number, issued = (card.number, card.issued_on.isoformat()) if card else ("", "")
    return PersonListed(person.name, number, issued)
