"""The owner's changes to the shop's own rules."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction

from shop.core.findings import blocked, refuse_if_blocked
from shop.core.house import rule_problems
from shop.models import Establishment, Person, ShopRule


@transaction.atomic
def change_rule(
    establishment: Establishment,
    *,
    key: str,
    value: str,
    from_day: date,
    basis: str,
    today: date,
    at: datetime,
    by: Person,
) -> ShopRule:
    """A rule's new value from today or a later day on; work already done keeps the rule it was done under."""
    found = rule_problems(key, value)
    if from_day < today:
        found.append(
            blocked("rule-backdated", "A rule starts today or later; work done keeps its rule.", "from_day")
        )
    if not basis.strip():
        found.append(blocked("rule-basis", "Say what the new value rests on.", "basis"))
    refuse_if_blocked(found)
    return ShopRule.objects.create(
        establishment=establishment,
        key=key,
        value=value.strip(),
        from_day=from_day,
        basis=basis.strip(),
        at=at,
        by=by,
    )
