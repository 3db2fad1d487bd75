"""Reads about shipments: what may be sent, what was sent, what the facility said."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import QuerySet

from inventory.core.ledger import PlaceKind
from inventory.models import Container, Facility, Shipment
from inventory.queries.cabinet import in_the_cabinet
from shop.core.mass import Mass, total
from shop.models import Establishment


def facilities(establishment: Establishment) -> QuerySet[Facility]:
    return Facility.objects.filter(establishment=establishment)


def shipments(establishment: Establishment) -> QuerySet[Shipment]:
    """Newest first, with their cylinders and receipts."""
    rows = Shipment.objects.filter(establishment=establishment).select_related("facility", "by", "receipt")
    return rows.prefetch_related(
        "cylinders__container__cylinder", "cylinders__ticket__scale", "cylinders__received"
    )


def can_be_shipped(establishment: Establishment) -> QuerySet[Container]:
    """Cylinders in use, with what the book says they hold."""
    rows = in_the_cabinet(establishment).filter(kind=PlaceKind.CYLINDER)
    return rows.select_related("cylinder", "mixed").order_by("place_id")


@dataclass(frozen=True, slots=True)
class BothWeights:
    """A shipment by our weight and by theirs (None while no receipt is in)."""

    ours: Mass
    theirs: Mass | None

    @property
    def difference(self) -> Mass | None:
        return None if self.theirs is None else self.theirs - self.ours

    @property
    def percent(self) -> str:
        if self.difference is None:
            return ""
        return f"{100 * self.difference.grams / self.ours.grams:+.1f}".replace("-", "−")


def both_weights(shipment: Shipment) -> BothWeights:
    cylinders = list(shipment.cylinders.all())
    ours = total(one.net for one in cylinders)
    if not hasattr(shipment, "receipt"):
        return BothWeights(ours, None)
    return BothWeights(ours, total(one.received.net for one in cylinders))


def waiting_for_a_receipt(establishment: Establishment) -> QuerySet[Shipment]:
    return shipments(establishment).filter(receipt=None)
