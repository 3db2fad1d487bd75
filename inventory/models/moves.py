"""Where containers stand: named spots of the shop, and moves between them that both ends agree on.

A spot is not a place of the refrigerant book: the book says what a container holds, wherever it stands.
"""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.containers import Container
from shop.models import Establishment
from shop.records import Record


class Spot(Record):
    """A shelf, a van, a bay or a spot outside that the shop has a name for."""

    class Kind(models.TextChoices):
        SHELF = "shelf", "Shelf"
        VAN = "van", "Van"
        BAY = "bay", "Bay"
        OUTSIDE = "outside", "Outside"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="spots")
    name = models.CharField(max_length=40)
    kind = models.CharField(max_length=10, choices=Kind.choices)

    class Meta:
        ordering = ["kind", "name"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "name"], name="spot_is_named_once"),
            models.CheckConstraint(condition=~Q(name=""), name="spot_has_a_name"),
        ]

    def __str__(self) -> str:
        return self.name


class Move(Record):
    """A container was given off for a spot. Until somebody there has it, it is on the way."""

    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="moves")
    to = models.ForeignKey(Spot, on_delete=models.PROTECT, related_name="moves")

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["container", "-id"], name="moves_newest_first")]


class MoveArrived(Record):
    """Somebody at the other end has it."""

    move = models.OneToOneField(Move, on_delete=models.PROTECT, related_name="arrived")
