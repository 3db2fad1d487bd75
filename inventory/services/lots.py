"""Lots, put right or split after the cans were numbered. No number changes and no gram moves."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from inventory.models import Container, Delivery, LotNote
from inventory.services.finding import findable_lots
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person
from shop.services.finding import make_findable

LONGEST = 40


@transaction.atomic
def split_lot(
    delivery: Delivery, cans: Sequence[Container], lot: str, *, at: datetime, by: Person
) -> list[LotNote]:
    """Say of some cans of a delivery which lot they are of, from here on. What was signed keeps the lot it knew."""
    name, found = lot.strip(), []
    mine = set(
        Container.objects.filter(
            delivered__line__delivery=delivery, pk__in=[can.pk for can in cans]
        ).values_list("pk", flat=True)
    )
    if not cans:
        found.append(blocked("lot-no-cans", phrase("Tick the cans that are of this lot."), "cans"))
    if len(mine) < len({can.pk for can in cans}):
        sentence = phrase("One of these cans did not come with {delivery}.", delivery=delivery.number)
        found.append(blocked("lot-other-cans", sentence, "cans"))
    if not 0 < len(name) <= LONGEST:
        sentence = phrase(
            "Type the lot as it is printed on the can, at most {most} characters.", most=LONGEST
        )
        found.append(blocked("lot-empty", sentence, "lot"))
    refuse_if_blocked(found)
    make_findable(delivery.establishment, *findable_lots([name]))
    return LotNote.objects.bulk_create(LotNote(container=can, lot=name, at=at, by=by) for can in cans)
