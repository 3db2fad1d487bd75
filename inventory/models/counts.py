"""Counts: what the book expected in the cabinet and what was found."""

from __future__ import annotations

from django.db import models

from inventory.models.book import Entry
from inventory.models.containers import Container
from shop.core.mass import Mass
from shop.fields import MassField
from shop.models import Establishment
from shop.records import Final, Record


class Count(Record):
    """One signed count of the cabinet; its differences are booked as differences, never as vehicle use."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="counts")
    on = models.DateField()
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="count")
    opening = models.BooleanField("first count of a cabinet that was already in use", default=False)

    class Meta:
        ordering = ["-on", "-pk"]


class CountLine(Final):
    """One container at a count: what the book expected, what was found, and how it was found."""

    class How(models.TextChoices):
        SEALED = "sealed", "Sealed, by its label"
        WEIGHED = "weighed", "Weighed"
        MISSING = "missing", "Not found"

    count = models.ForeignKey(Count, on_delete=models.PROTECT, related_name="lines")
    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="+")
    expected = MassField()
    found = MassField()
    how = models.CharField(max_length=10, choices=How.choices)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["count", "container"], name="container_is_counted_once")
        ]

    @property
    def difference(self) -> Mass:
        return self.found - self.expected
