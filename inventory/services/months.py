"""Closing months: after a signed report the book behind it takes no more entries."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction

from inventory.models import MonthBalance, MonthClose
from inventory.queries import flows_up_to
from shop.models import Establishment, Person


@transaction.atomic
def close_months(
    establishment: Establishment, *, last_day: date, at: datetime, by: Person
) -> MonthClose | None:
    """Close the book up to a day and keep the sums up to it. Nothing happens when it is closed that far already."""
    # Every entry names its establishment and so holds its row: whoever is writing finishes first, and is summed.
    Establishment.objects.select_for_update().get(pk=establishment.pk)
    if MonthClose.objects.filter(establishment=establishment, last_day__gte=last_day).exists():
        return None
    flows = flows_up_to(establishment, last_day)
    closed = MonthClose.objects.create(establishment=establishment, last_day=last_day, at=at, by=by)
    MonthBalance.objects.bulk_create(
        [
            MonthBalance(
                establishment=establishment,
                last_day=last_day,
                refrigerant_id=refrigerant,
                purpose=purpose,
                source_kind=source,
                target_kind=target,
                mass=mass,
                movements=movements,
            )
            for (refrigerant, purpose, source, target), (mass, movements) in sorted(flows.items())
        ]
    )
    return closed
