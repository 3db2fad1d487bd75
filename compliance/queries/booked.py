"""What the book moved for jobs: by their closings and by the correction slips about them."""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from django.db.models import Q, Sum
from django.db.models.functions import Coalesce

from compliance.models import Job
from inventory.models import Movement
from shop.core.mass import Mass


class Booked(NamedTuple):
    """All that one job moved for one purpose between two kinds of place."""

    job: int
    purpose: str
    source: str
    target: str
    mass: Mass


def booked_for(jobs: Collection[Job | int]) -> list[Booked]:
    """What these jobs moved, in one query."""
    job = Coalesce("entry__closing__job", "entry__correction__closing__job")
    mine = Q(entry__closing__job__in=jobs) | Q(entry__correction__closing__job__in=jobs)
    rows = Movement.objects.filter(mine).order_by().annotate(whose=job)
    sums = rows.values_list("whose", "purpose", "source_kind", "target_kind").annotate(moved=Sum("mass"))
    return [Booked(*row) for row in sums]
