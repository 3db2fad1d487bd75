"""Sums of the refrigerant book, from the last closed month's balance and the tail after it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db.models import Count as Number
from django.db.models import Subquery, Sum

from inventory.core.ledger import PlaceKind, Purpose
from inventory.models import MonthBalance, Movement
from shop.core.mass import ZERO, Mass, total
from shop.core.period import Period
from shop.models import Establishment

FlowKey = tuple[str, str, str, str]  # refrigerant, purpose, source kind, target kind
Flows = dict[FlowKey, tuple[Mass, int]]  # mass moved, number of movements


def flows_up_to(establishment: Establishment, day: date) -> Flows:
    """Everything that ever moved up to a day: the last closed month's balance and the tail after it, two queries."""
    base = (
        MonthBalance.objects.filter(establishment=establishment, last_day__lte=day)
        .order_by("-last_day")
        .values("last_day")[:1]
    )
    rows = MonthBalance.objects.filter(establishment=establishment, last_day=Subquery(base))
    key = ("refrigerant_id", "purpose", "source_kind", "target_kind")
    flows: Flows = {}
    since = None
    for *parts, mass, movements, last_day in rows.values_list(*key, "mass", "movements", "last_day"):
        refrigerant, purpose, source, target = parts
        flows[refrigerant, purpose, source, target] = (mass, movements)
        since = last_day
    if since != day:  # the month closed on that very day has no tail
        _add_tail(flows, establishment, since, day)
    return flows


def _add_tail(flows: Flows, establishment: Establishment, since: date | None, day: date) -> None:
    tail = Movement.objects.filter(establishment=establishment, on__lte=day)
    if since is not None:
        tail = tail.filter(on__gt=since)
    key = ("refrigerant_id", "purpose", "source_kind", "target_kind")
    summed = tail.order_by().values_list(*key).annotate(moved=Sum("mass"), rows=Number("pk"))
    for refrigerant, purpose, source, target, mass, movements in summed:
        old_mass, old_movements = flows.get((refrigerant, purpose, source, target), (ZERO, 0))
        flows[refrigerant, purpose, source, target] = (old_mass + mass, old_movements + movements)


def flows_in(establishment: Establishment, period: Period) -> tuple[Flows, Flows]:
    """(everything before the period, everything in it)."""
    before = flows_up_to(establishment, period.day_before)
    after = flows_up_to(establishment, period.last)
    inside = {
        key: (mass - before.get(key, (ZERO, 0))[0], rows - before.get(key, (ZERO, 0))[1])
        for key, (mass, rows) in after.items()
    }
    return before, {key: moved for key, moved in inside.items() if moved[1]}


def held_by(flows: Flows, refrigerant: str, kind: PlaceKind) -> Mass:
    """What all places of one kind hold after these flows."""
    into = total(
        mass for (gas, _, _, target), (mass, _) in flows.items() if gas == refrigerant and target == kind
    )
    out = total(
        mass for (gas, _, source, _), (mass, _) in flows.items() if gas == refrigerant and source == kind
    )
    return into - out


def moved(flows: Flows, refrigerant: str, purposes: Iterable[Purpose], *, out_of: PlaceKind) -> Mass:
    """What left places of one kind for these purposes, less what came back for them (a reversal)."""
    names = {purpose.value for purpose in purposes}
    mine = [(key, mass) for key, (mass, _) in flows.items() if key[0] == refrigerant and key[1] in names]
    out = total(mass for (_, _, source, _), mass in mine if source == out_of)
    back = total(mass for (_, _, _, target), mass in mine if target == out_of)
    return out - back
