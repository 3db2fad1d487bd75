"""How long the full cans last, read from the refrigerant book."""

from __future__ import annotations

from datetime import date, timedelta

from django.db.models import Min, Q, Sum

from inventory.core.ledger import PlaceKind, Purpose
from inventory.core.stock import WEEKS, Stock, cans_used
from inventory.models import ContainerType, Movement
from inventory.queries.cabinet import Shelf, shelves
from shop.core.mass import ZERO, Mass
from shop.models import Establishment

USES = (Purpose.CHARGED, Purpose.HOSES, Purpose.PURGED, Purpose.RELEASED, Purpose.RECOVERED_BACK)


def low_stock(establishment: Establishment, day: date, on_hand: list[Shelf] | None = None) -> list[Stock]:
    """Refrigerants whose full cans do not last two usual weeks, by the use of the last eight weeks."""
    full = {shelf.refrigerant: shelf.sealed for shelf in on_hand or shelves(establishment)}
    used = _used(establishment, since=day - timedelta(weeks=WEEKS))
    if not used:
        return []
    weeks = _weeks(establishment, day)
    found = [Stock(gas, full.get(gas, 0), cans_used(pairs, weeks)) for gas, pairs in sorted(used.items())]
    return [stock for stock in found if stock.is_low]


def _weeks(establishment: Establishment, day: date) -> int:
    """Whole weeks since the book began, for a shop that has not kept it for eight yet."""
    began = Movement.objects.filter(establishment=establishment).aggregate(first=Min("on"))["first"]
    return WEEKS if began is None else -(-(day - began).days // 7)


def _used(establishment: Establishment, *, since: date) -> dict[str, list[tuple[Mass, Mass]]]:
    """By refrigerant: (what left cans of one kind for work, what such a can holds)."""
    work = Movement.objects.filter(
        establishment=establishment, on__gt=since, purpose__in=[purpose.value for purpose in USES]
    ).order_by()
    left: dict[int, Mass] = {}
    for side, sign in (("source", 1), ("target", -1)):  # what came back for a reversal was not used
        rows = work.filter(Q(**{f"{side}_kind": PlaceKind.CAN}))
        key = f"{side}__container__can__type"
        for kind, mass in rows.values_list(key).annotate(moved=Sum("mass")):
            left[kind] = left.get(kind, ZERO) + mass * sign
    used: dict[str, list[tuple[Mass, Mass]]] = {}
    for kind in ContainerType.objects.filter(pk__in=left):
        used.setdefault(kind.refrigerant_id, []).append((left[kind.pk], kind.net))
    return used
