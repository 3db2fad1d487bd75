"""Clearing old records: what of an archive would go, and what stays and why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from compliance.core.old import Old, OldKind
from compliance.models import (
    Archived,
    Correction,
    CustomerLink,
    Document,
    Package,
    Photo,
)
from compliance.queries.old_records import kept_for_ever, old_records
from shop.core.phrase import phrase
from shop.models import Establishment


@dataclass(frozen=True, slots=True)
class Plan:
    """What a clearing of one archive takes, and what of that archive stays: number and why, in words."""

    goes: tuple[Old, ...]
    stays: tuple[tuple[str, str], ...]


def plan(establishment: Establishment, archive: Package, day: date) -> Plan:
    """The jobs of an archive as they stand on a day."""
    past = {one.key: one for one in old_records(establishment, day) if one.kind is OldKind.JOB}
    goes, stays = [], []
    rows = Archived.objects.filter(package=archive, kind=OldKind.JOB.value).order_by("pk")
    for key, anchor in rows.values_list("key", "anchor"):
        one = past.get(key)
        if why := kept_because(one, anchor):
            stays.append((key, why))
        elif one is not None:
            goes.append(one)
    if stays and kept_for_ever(establishment):
        forever = phrase("the shop keeps everything for ever")
        stays = [(key, forever) for key, _why in stays]
    return Plan(tuple(goes), tuple(stays))


def kept_because(one: Old | None, anchor: date) -> str:
    """Why an archived job is not cleared; "" when it may be. ``anchor`` is its day as the archive knows it."""
    if one is None:
        return phrase("it has to be kept longer by now")
    if one.cleared:
        return phrase("it is in another clearing already")
    return stays_because(one) or (
        "" if one.anchor == anchor else phrase("the archive does not hold its newest paper")
    )


def stays_because(one: Old) -> str:
    """What keeps a job that is past its time, in words."""
    if one.held:
        return phrase("it is on hold")
    return one.needed_by


@dataclass(frozen=True, slots=True)
class Details:
    """How many things of some jobs lose the customer."""

    jobs: int
    papers: int
    slips: int
    photos: int
    links: int


def details_of(jobs: Iterable[int]) -> Details:
    pks = list(jobs)
    papers = Document.objects.filter(Q(certificate__closing__job__in=pks) | Q(case_file__job__in=pks))
    return Details(
        len(pks),
        papers.count(),
        Correction.objects.filter(closing__job__in=pks).count(),
        Photo.objects.filter(job__in=pks).count(),
        CustomerLink.objects.filter(closing__job__in=pks).count(),
    )
