"""What asks for somebody's eyes on Today. Each line says what is so and the one thing to do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from django.urls import reverse

from compliance.models import Document, Job, UsageReport
from inventory.models import Count
from inventory.queries import deliveries, shelves
from shop.core.period import Period
from shop.models import Establishment
from shop.queries import in_service, last_check


@dataclass(frozen=True, slots=True)
class Ask:
    """``shape`` is "look" or "waiting"."""

    shape: str
    text: str
    href: str
    do: str


def asking(establishment: Establishment, day: date) -> list[Ask]:
    """Old open jobs, counts due, scales not checked, cylinders nearly full, invoices missing, reports due."""
    return [
        *_old_jobs(establishment, day),
        *_count_due(establishment, day),
        *_scales(establishment, day),
        *_cylinders(establishment),
        *_invoices(establishment, day),
        *_report_due(establishment, day),
    ]


def _old_jobs(establishment: Establishment, day: date) -> list[Ask]:
    old = Job.objects.at_shop(establishment).open().filter(on__lte=day - timedelta(days=3))
    return [
        Ask(
            "look",
            f"{job.number} is open since {job.on:%b} {job.on.day}.",
            reverse("jobs:page", args=[job.number]),
            "Carry on",
        )
        for job in old[:5]
    ]


def _count_due(establishment: Establishment, day: date) -> list[Ask]:
    last = Count.objects.filter(establishment=establishment).order_by("-on").first()
    if last is not None and (day - last.on).days <= 31:
        return []
    since = f"The last count was {last.on:%b} {last.on.day}." if last else "The cabinet was never counted."
    return [Ask("look", since, reverse("counts:new"), "Count")]


def _scales(establishment: Establishment, day: date) -> list[Ask]:
    found = []
    for scale in in_service(establishment, day, "scale"):
        check = last_check(scale, day)
        href = reverse("equipment:page", args=[scale.code])
        if check is None or (day - check.on).days > 31:
            found.append(Ask("look", f"Scale {scale.code} was not checked this month.", href, "Check it"))
        elif not check.passed:
            found.append(Ask("look", f"Scale {scale.code} did not pass its last check.", href, "Look"))
    return found


def _cylinders(establishment: Establishment) -> list[Ask]:
    found = []
    for shelf in shelves(establishment):
        for cylinder in shelf.cylinders:
            percent = round(100 * cylinder.book.ug / (cylinder.cylinder.water.ug * 0.8))
            if percent >= 90:
                text = f"Cylinder {cylinder.code} is {percent} % full."
                found.append(Ask("look", text, reverse("containers:page", args=[cylinder.code]), "Look"))
    return found


def _invoices(establishment: Establishment, day: date) -> list[Ask]:
    late = deliveries(establishment).filter(invoices=None, undone=None, on__lte=day - timedelta(days=3))
    return [
        Ask(
            "waiting",
            f"{one.number} of {one.on:%b} {one.on.day}: invoice missing.",
            reverse("deliveries:page", args=[one.number]),
            "Add",
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
    return [Ask("waiting", f"The usage report of {last} is not signed.", href, "Look at it")]
