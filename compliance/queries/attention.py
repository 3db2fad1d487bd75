"""What asks for somebody's eyes on Today. Each line says what is so and the one thing to do."""

from __future__ import annotations

from datetime import date, timedelta

from django.urls import reverse

from compliance.core.stages import StageKind
from compliance.models import (
    Document,
    Draft,
    HandOver,
    Job,
    Mischarge,
    OnTheCar,
    UncertifiedWork,
    UsageReport,
)
from compliance.queries.attention_office import Ask, office_asks, office_waits
from compliance.queries.attention_owner import owner_asks, report_asks, statement_asks
from compliance.queries.attention_scales import chart_asks, counts_off, scale_asks
from compliance.queries.attention_upkeep import (
    backup_asks,
    clearing_asks,
    copy_asks,
    old_asks,
    requalification_asks,
)
from compliance.queries.facts import local
from inventory.models import Count
from inventory.queries import shelves, waiting_for_a_receipt
from shop.core.clock import pressed_instant
from shop.core.days import said_day
from shop.core.period import Period
from shop.core.phrase import phrase
from shop.core.roles import Role
from shop.models import Establishment, Person


def asking(establishment: Establishment, day: date, person: Person) -> list[Ask]:
    """What bent, what was left on hold or on a car overnight, old open jobs, counts due, scales not checked,
    cylinders nearly full, what the office waits for, reports due."""
    return [
        *_handed(person),
        *_bent(establishment),
        *_held_overnight(establishment, day),
        *_cans_overnight(establishment, day),
        *_old_jobs(establishment, day),
        *_count_due(establishment, day),
        *counts_off(establishment),
        *scale_asks(establishment, day, person.role),
        *chart_asks(establishment, person),
        *_cylinders(establishment),
        *requalification_asks(establishment, day),
        *office_asks(establishment, day, person),
        *owner_asks(establishment, day, person),
        *_receipts(establishment, day),
        *(_report_due(establishment, day) if person.role != Role.TECHNICIAN else ()),
        *(backup_asks(establishment, day) if person.is_owner else ()),
        *(old_asks(establishment, day) if person.is_owner else ()),
        *(clearing_asks(establishment, day) if person.is_owner else ()),
        *(copy_asks(establishment, day) if person.role != Role.TECHNICIAN else ()),
    ]


def worth_a_reminder(establishment: Establishment, day: date) -> list[Ask]:
    """What may go out by e-mail: all of Today that has a cause and is nobody's own."""
    asks = [
        *_old_jobs(establishment, day),
        *_count_due(establishment, day),
        *scale_asks(establishment, day, Role.OWNER),
        *requalification_asks(establishment, day),
        *office_waits(establishment, day),
        *statement_asks(establishment, day),
        *report_asks(establishment, day),
        *backup_asks(establishment, day),
        *old_asks(establishment, day),
        *copy_asks(establishment, day),
    ]
    return [ask for ask in asks if ask.cause]


def _handed(person: Person) -> list[Ask]:
    """Open jobs that were last handed to this person."""
    given = HandOver.objects.filter(job__establishment=person.establishment_id, job__closing=None)
    last = {one.job_id: one for one in given.select_related("job", "by").order_by("pk")}
    return [
        Ask(
            "look",
            phrase(
                "{job} is yours, from {by}: {note}.", job=one.job.number, by=one.by.first_name, note=one.note
            ),
            reverse("jobs:page", args=[one.job.number]),
            phrase("Carry on"),
        )
        for one in last.values()
        if one.to_id == person.pk
    ]


def _old_jobs(establishment: Establishment, day: date) -> list[Ask]:
    """A job asks on its third day, after a week, and after two weeks says that the owner may close it as it stands."""
    found = []
    old = Job.objects.at_shop(establishment).open().filter(on__lte=day - timedelta(days=3))
    for job in old[:5]:
        days = (day - job.on).days
        text = phrase("{job} is open for {days} days.", job=job.number, days=days)
        if days >= 14:
            text = phrase(
                "{job} is open for {days} days. The owner can close it as it stands.",
                job=job.number,
                days=days,
            )
        since = max(step for step in (3, 7, 14) if step <= days)
        page = reverse("jobs:page", args=[job.number])
        found.append(Ask("look", text, page, phrase("Carry on"), f"job {job.number} open {since} days"))
    return found


def _held_overnight(establishment: Establishment, day: date) -> list[Ask]:
    """A vacuum or a pressure that was left on hold before today: its reading is due."""
    found = []
    drafts = Draft.objects.filter(job__establishment=establishment, job__closing=None)
    for draft in drafts.select_related("job__vehicle", "job__establishment"):
        began = pressed_instant(draft.typed.get("hold_started_at_instant"))
        if began is None or draft.typed.get("hold_stopped_at_instant"):
            continue
        since = local(establishment, began)
        if since.date() < day:
            text = phrase(
                "On hold since {since:%H:%M} the day before: reading due on {car}.",
                since=since,
                car=str(draft.job.vehicle),
            )
            href = reverse("jobs:stage", args=[draft.job.number, draft.kind])
            found.append(Ask("look", text, href, phrase("Read")))
    return found


def _cans_overnight(establishment: Establishment, day: date) -> list[Ask]:
    """A can that hangs on a car since another day is weighed back, so that it can be used elsewhere."""
    claims = OnTheCar.objects.filter(job__establishment=establishment).select_related("job")
    return [
        Ask(
            "look",
            phrase(
                "{can} hangs on {job} since the day before. Weigh it.",
                can=one.container_id,
                job=one.job.number,
            ),
            reverse("jobs:charge", args=[one.job.number]),
            phrase("Weigh it"),
        )
        for one in claims
        if local(establishment, one.since).date() < day
    ]


def _bent(establishment: Establishment) -> list[Ask]:
    """What the owner has to know of open jobs: a wrong can that went in, work without a card."""
    wrong = Mischarge.objects.filter(job__establishment=establishment, job__closing=None).select_related(
        "job"
    )
    hands = UncertifiedWork.objects.filter(
        stage__job__establishment=establishment, stage__job__closing=None
    ).select_related("stage__job")
    return [
        *(
            Ask(
                "look",
                phrase(
                    "{can} of another refrigerant went into {job}.", can=one.container_id, job=one.job.number
                ),
                reverse("jobs:page", args=[one.job.number]),
                phrase("Look"),
            )
            for one in wrong
        ),
        *(
            Ask(
                "look",
                phrase(
                    "{stage} of {job} was done by {name}, who holds no 609 card.",
                    stage=StageKind(one.stage.kind).label,
                    job=one.stage.job.number,
                    name=one.name,
                ),
                reverse("jobs:page", args=[one.stage.job.number]),
                phrase("Look"),
            )
            for one in hands
        ),
    ]


def _count_due(establishment: Establishment, day: date) -> list[Ask]:
    last = Count.objects.filter(establishment=establishment).order_by("-on").first()
    if last is not None and (day - last.on).days <= 31:
        return []
    since = (
        phrase("The last count was {on}.", on=said_day(last.on))
        if last
        else phrase("The cabinet was never counted.")
    )
    cause = f"count after {last.pk if last else 'none'}"
    return [Ask("look", since, reverse("counts:new"), phrase("Count"), cause)]


def _cylinders(establishment: Establishment) -> list[Ask]:
    found = []
    for shelf in shelves(establishment):
        for cylinder in shelf.cylinders:
            percent = round(100 * cylinder.book.ug / (cylinder.cylinder.water.ug * 0.8))
            if percent >= 90:
                text = phrase(
                    "Cylinder {cylinder} is {percent} full.", cylinder=cylinder.code, percent=f"{percent} %"
                )
                found.append(
                    Ask("look", text, reverse("containers:page", args=[cylinder.code]), phrase("Look"))
                )
    return found


def _receipts(establishment: Establishment, day: date) -> list[Ask]:
    """A facility's receipt asks after two weeks."""
    late = waiting_for_a_receipt(establishment).filter(on__lte=day - timedelta(days=14))
    return [
        Ask(
            "waiting",
            phrase("{one} of {on:%b} {day}: no receipt yet.", one=one.number, on=one.on, day=one.on.day),
            reverse("shipments:page", args=[one.number]),
            phrase("Open"),
        )
        for one in late[:5]
    ]


def _report_due(establishment: Establishment, day: date) -> list[Ask]:
    number = (day.month - 1) // 3
    last = Period.quarter(day.year, number) if number else Period.quarter(day.year - 1, 4)
    began = Job.objects.filter(establishment=establishment, on__lte=last.last).exists()
    signed = UsageReport.objects.filter(
        document__establishment=establishment,
        first=last.first,
        last=last.last,
        document__kind=Document.Kind.USAGE_REPORT,
    ).exists()
    if signed or not began:
        return []
    href = f"{reverse('reports:draft')}?first={last.first}&last={last.last}"
    return [
        Ask(
            "waiting",
            phrase("The usage report of {last} is not signed.", last=last.said),
            href,
            phrase("Look at it"),
        )
    ]
