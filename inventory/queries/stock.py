"""How long the full cans last, read from the refrigerant book."""

from __future__ import annotations

from datetime import date, timedelta

from django.db.models import Count, Exists, Min, OuterRef, Q, Subquery, Sum

from inventory.core.ledger import PlaceKind, Purpose
from inventory.core.stock import WEEKS, Stock, cans_used
from inventory.models import Container, ContainerType, CountLine, Movement, WeighTicket
from inventory.queries.cabinet import Shelf
from shop.core.mass import ZERO, Mass
from shop.models import Establishment

USES = (Purpose.CHARGED, Purpose.HOSES, Purpose.PURGED, Purpose.RELEASED, Purpose.RECOVERED_BACK)


def low_stock(establishment: Establishment, day: date, on_hand: list[Shelf] | None = None) -> list[Stock]:
    """Refrigerants whose full cans do not last two usual weeks, by the use of the last eight weeks."""
    used = _used(establishment, since=day - timedelta(weeks=WEEKS))
    if not used:
        return []
    full = (
        full_cans(establishment)
        if on_hand is None
        else {shelf.refrigerant: shelf.sealed for shelf in on_hand}
    )
    weeks = _weeks(establishment, day)
    found = [Stock(gas, full.get(gas, 0), cans_used(pairs, weeks)) for gas, pairs in sorted(used.items())]
    return [stock for stock in found if stock.is_low]


def full_cans(establishment: Establishment) -> dict[str, int]:
    """Sealed cans by refrigerant, less those that the last count did not find: as ``shelves`` counts them, in one
    query that reads nothing else of a can."""
    weighed = WeighTicket.objects.filter(container=OuterRef("pk"), set_aside=None)
    counted = CountLine.objects.filter(container=OuterRef("pk")).order_by("-pk").values("how")[:1]
    cans = Container.objects.filter(~Exists(weighed), establishment=establishment, kind=PlaceKind.CAN)
    here = cans.filter(fate=None).alias(last_counted=Subquery(counted))  # type: ignore[no-redef]
    here = here.filter(Q(last_counted=None) | ~Q(last_counted=CountLine.How.MISSING))
    return dict(here.order_by().values_list("refrigerant").annotate(cans=Count("pk")))


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
