"""Counts: what the book expected in the cabinet and what was found."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.book import Entry
from inventory.models.containers import Container, ContainerType
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
    """One container at a count: what the book expected, what was found, and how it was found.

    What is found in an open can rests on its shell: how that was known, and give or take how many grams, stays here.
    """

    class How(models.TextChoices):
        SEALED = "sealed", "Sealed, by its label"
        WEIGHED = "weighed", "Weighed"
        MISSING = "missing", "Not found"

    count = models.ForeignKey(Count, on_delete=models.PROTECT, related_name="lines")
    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="+")
    expected = MassField()
    found = MassField()
    how = models.CharField(max_length=10, choices=How.choices)
    shell_basis = models.CharField(max_length=10, choices=ContainerType.Basis.choices, blank=True)
    shell_doubt_g = models.PositiveSmallIntegerField("shell give or take, g", default=0)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["count", "container"], name="container_is_counted_once"),
            models.CheckConstraint(
                condition=Q(shell_basis="") | Q(how="weighed"), name="only_a_weighed_line_rests_on_a_shell"
            ),
        ]

    @property
    def estimated_g(self) -> int:
        """Give or take how many grams, when what was found rests on an estimated shell; else 0."""
        return self.shell_doubt_g if self.shell_basis == ContainerType.Basis.ESTIMATED else 0

    @property
    def difference(self) -> Mass:
        return self.found - self.expected
