"""The words that cans, lots and deliveries are found by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from inventory.models import Container, Delivery
from shop.core.finding import Findable, Kind
from shop.models import Establishment


def findable_containers(containers: Iterable[Container], *more: str) -> list[Findable]:
    """Containers by their codes (and by what is said beside them, such as a serial number), their lots by name."""
    rows = list(containers)
    return [
        *(Findable(Kind.CONTAINER, row.code, (row.code, *more)) for row in rows),
        *findable_lots(row.lot for row in rows),
    ]


def findable_lots(lots: Iterable[str]) -> list[Findable]:
    """Lots by name."""
    return [Findable(Kind.LOT, lot, (lot,)) for lot in sorted(set(lots) - {""})]


def findable_delivery(delivery: Delivery) -> Findable:
    """A delivery, by its own number, its slips, its invoices and what went back of it."""
    words = [
        delivery.number,
        delivery.slip,
        *(other.slip for other in delivery.other_slips.all()),
        *(invoice.number for invoice in delivery.invoices.all()),
        *(slip.number for slip in delivery.return_slips.all()),
    ]
    return Findable(Kind.DELIVERY, delivery.number, tuple(dict.fromkeys(words)))


def all_findable(establishment: Establishment) -> Iterator[Findable]:
    """Everything of the cabinet that can be found."""
    containers = Container.objects.filter(establishment=establishment).select_related("cylinder")
    for row in containers.prefetch_related("lots").iterator(chunk_size=500):
        serial = row.cylinder.serial if hasattr(row, "cylinder") else ""
        yield from findable_containers([row], serial)
        yield from findable_lots(note.lot for note in row.lots.all())
    deliveries = Delivery.objects.filter(establishment=establishment)
    for delivery in deliveries.prefetch_related("other_slips", "invoices", "return_slips").iterator(
        chunk_size=500
    ):
        yield findable_delivery(delivery)
