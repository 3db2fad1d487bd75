"""The words that cans, lots and deliveries are found by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from inventory.models import Container, Delivery
from shop.core.finding import Findable, Kind
from shop.models import Establishment


def findable_containers(containers: Iterable[Container], *more: str) -> list[Findable]:
    """Containers by their codes (and by what is said beside them, such as a serial number), their lots by name."""
    rows = list(containers)
    lots = sorted({row.lot for row in rows if row.lot})
    return [
        *(Findable(Kind.CONTAINER, row.code, (row.code, *more)) for row in rows),
        *(Findable(Kind.LOT, lot, (lot,)) for lot in lots),
    ]


def findable_delivery(delivery: Delivery, *invoices: str) -> Findable:
    """A delivery, by its own number, its slip and its invoices."""
    return Findable(Kind.DELIVERY, delivery.number, (delivery.number, delivery.slip, *invoices))


def all_findable(establishment: Establishment) -> Iterator[Findable]:
    """Everything of the cabinet that can be found."""
    containers = Container.objects.filter(establishment=establishment).select_related("cylinder")
    for row in containers.iterator():
        serial = row.cylinder.serial if hasattr(row, "cylinder") else ""
        yield from findable_containers([row], serial)
    deliveries = Delivery.objects.filter(establishment=establishment).prefetch_related("invoices")
    for delivery in deliveries.iterator(chunk_size=500):
        yield findable_delivery(delivery, *(invoice.number for invoice in delivery.invoices.all()))
