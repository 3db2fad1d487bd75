"""Reads about a count's difference: the period it closes, what was handled in it, and the shop's limit."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import QuerySet, Sum

from inventory.core.ledger import Purpose
from inventory.models import Count, DifferenceNote, Movement
from inventory.queries.lists import CountSum, count_sums
from shop.core.mass import ZERO, Mass, grams
from shop.models import Establishment
from shop.queries import rules_on

HANDLED = (
    Purpose.CHARGED,
    Purpose.HOSES,
    Purpose.PURGED,
    Purpose.RELEASED,
    Purpose.RECOVERED,
    Purpose.RECOVERED_BACK,
    Purpose.HEEL,
)


def count_before(count: Count, refrigerant: str) -> Count | None:
    """The count before this one that asked for the same refrigerant; an opening count too."""
    mine = Count.objects.filter(establishment=count.establishment_id, pk__lt=count.pk)
    return mine.filter(lines__container__refrigerant=refrigerant).order_by("-pk").first()


def movements_between(count: Count, before: Count | None, refrigerant: str) -> QuerySet[Movement]:
    """What the book moved of one refrigerant after the count before and up to this one."""
    rows = Movement.objects.filter(
        establishment=count.establishment_id, refrigerant=refrigerant, entry__lt=count.entry_id
    )
    return rows.filter(entry__gt=before.entry_id) if before else rows


def handled(count: Count, before: Count | None, refrigerant: str) -> Mass:
    """What was charged, recovered and lost on the way since the count before."""
    rows = movements_between(count, before, refrigerant).filter(purpose__in=[one.value for one in HANDLED])
    moved: Mass | None = rows.order_by().aggregate(moved=Sum("mass"))["moved"]
    return ZERO if moved is None else moved


@dataclass(frozen=True, slots=True)
class Limit:
    """The shop's limit for a count's difference: a percent of what was handled, or so many grams if that is more."""

    handled: Mass
    mass: Mass


def limit_of(count: Count, before: Count | None, refrigerant: str) -> Limit:
    rules = rules_on(count.establishment, count.on)
    moved = handled(count, before, refrigerant)
    share = Mass(int(moved.ug * rules.count_limit_percent / 100))
    return Limit(moved, max(share, grams(rules.count_limit_g)))


@dataclass(frozen=True, slots=True)
class OverLimit:
    """A count's sum of one refrigerant that is over the shop's limit and has no note yet."""

    count: Count
    sum: CountSum
    limit: Limit


def over_the_limit(establishment: Establishment) -> list[OverLimit]:
    """What of the newest count is over the shop's limit, with nothing said about it yet."""
    rows = Count.objects.filter(establishment=establishment, opening=False).select_related("establishment")
    count = rows.prefetch_related("lines__container").order_by("-pk").first()
    if count is None:
        return []
    noted = set(DifferenceNote.objects.filter(count=count).values_list("refrigerant", flat=True))
    found = []
    for one in count_sums(count):
        limit = limit_of(count, count_before(count, one.refrigerant), one.refrigerant)
        if one.off > limit.mass and one.refrigerant not in noted:
            found.append(OverLimit(count, one, limit))
    return found


def difference_notes(establishment: Establishment) -> QuerySet[DifferenceNote]:
    """What was said about differences, newest first."""
    rows = DifferenceNote.objects.filter(count__establishment=establishment)
    return rows.select_related("count", "by").order_by("-pk")
