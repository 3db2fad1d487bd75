"""Archives, monthly copies and hand-over packs that were made."""

from __future__ import annotations

from compliance.models import Package
from compliance.queries.facts import local
from shop.core.period import Period
from shop.models import Establishment


def packages(establishment: Establishment, kind: str) -> list[Package]:
    """What was made of one kind, the newest first."""
    rows = Package.objects.filter(establishment=establishment, kind=kind)
    return list(rows.select_related("by", "sale__count")[:50])


def made_after(establishment: Establishment, month: Period) -> Package | None:
    """The newest monthly copy of a month that was made when the month was over."""
    rows = Package.objects.filter(establishment=establishment, kind=Package.Kind.BUNDLE, day=month.first)
    over = (one for one in rows.select_related("by") if local(establishment, one.at).date() > month.last)
    return next(over, None)
