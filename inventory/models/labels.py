"""Labels that were printed for containers: which, when, by whom, and whether again."""

from __future__ import annotations

from django.db import models

from inventory.models.containers import Container
from shop.models import Establishment
from shop.records import Final, Record


class LabelSheet(Record):
    """Labels printed together, on stock of one size. ``skip`` places were used up on the first sheet already."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="label_sheets")
    stock = models.CharField(max_length=12)
    skip = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["-pk"]


class Label(Final):
    """One label of a sheet; ``again`` when this container had one before."""

    sheet = models.ForeignKey(LabelSheet, on_delete=models.PROTECT, related_name="labels")
    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="labels")
    again = models.BooleanField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["sheet", "container"], name="label_is_on_a_sheet_once"),
        ]
