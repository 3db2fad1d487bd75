"""Looks at control charts: after one its chart starts anew."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from shop.models import Establishment
from shop.records import Record


class ChartLook(Record):
    """Somebody looked into an alarm and said what they found. ``through`` is the ticket or check it reaches to."""

    class Kind(models.TextChoices):
        SCALE = "scale", "Scale"
        TECHNICIAN = "technician", "Technician"
        LOT = "lot", "Lot"

    class What(models.TextChoices):
        SHELF = "shelf", "Weight kept on the shelf"
        CAN = "can", "Sealed to empty against the label"
        CHECK = "check", "Checks with the known weight"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="chart_looks")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    key = models.CharField("scale, sign-on name or lot", max_length=40)
    what = models.CharField(max_length=8, choices=What.choices)
    through = models.PositiveIntegerField()
    found = models.CharField(max_length=300)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["establishment", "kind", "key", "what", "through"], name="chart_is_looked_at_once"
            ),
            models.CheckConstraint(condition=~Q(found=""), name="look_says_what_was_found"),
        ]
