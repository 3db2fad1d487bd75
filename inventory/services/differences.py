"""A note on a count's difference: who looked, and that it stays a difference. It moves nothing in the book."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from inventory.models import Count, DifferenceNote
from inventory.queries import count_sums
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.mass import ZERO
from shop.core.phrase import phrase
from shop.models import Person


@transaction.atomic
def leave_difference(
    count: Count, refrigerant: str, *, note: str, at: datetime, by: Person
) -> DifferenceNote:
    """Leave a count's difference of one refrigerant as it is, with a reason. The book keeps what the count booked."""
    mine = next((one for one in count_sums(count) if one.refrigerant == refrigerant), None)
    left = ZERO if mine is None else mine.difference
    found = []
    if mine is None or count.opening:
        sentence = phrase("This count says nothing about {refrigerant}.", refrigerant=refrigerant)
        found.append(blocked("note-no-line", sentence))
    elif left == ZERO:
        sentence = phrase("There is no difference of {refrigerant} to leave.", refrigerant=refrigerant)
        found.append(blocked("note-no-difference", sentence))
    if len(note.strip()) < 3:
        found.append(blocked("note-empty", phrase("Say in a few words why it is left."), "note"))
    refuse_if_blocked(found)
    return DifferenceNote.objects.create(
        count=count, refrigerant_id=refrigerant, left=left, note=note.strip(), at=at, by=by
    )
