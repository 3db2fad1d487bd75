"""What the owner decides about the tickets that a failed check of their scale put in doubt."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from inventory.models import DoubtSettled
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Check, Equipment, Person


@transaction.atomic
def settle_doubt(check: Check, *, decided: str, why: str, at: datetime, by: Person) -> DoubtSettled:
    """Decide about a scale's tickets around a check that it did not pass. The tickets themselves stay as they are."""
    found = []
    if check.passed or check.equipment.kind != Equipment.Kind.SCALE:
        found.append(blocked("doubt-none", phrase("That check put no ticket in doubt."), ""))
    if DoubtSettled.objects.filter(check_failed=check).exists():
        found.append(blocked("doubt-settled", phrase("That is decided already."), ""))
    if decided not in DoubtSettled.Decided.values:
        found.append(blocked("doubt-decided", phrase("Choose what holds for these tickets."), "decided"))
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say in a few words why."), "why"))
    refuse_if_blocked(found)
    return DoubtSettled.objects.create(check_failed=check, decided=decided, why=why.strip(), at=at, by=by)
