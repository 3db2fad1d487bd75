"""Counts: what the book expected in the cabinet and what was found."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.book import Entry
from inventory.models.containers import Container, ContainerType
from shop.core.mass import Mass
from shop.core.phrase import phrase
from shop.fields import MassField
from shop.models import Establishment, Person
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
        LAST_TICKET = "last ticket", "At its last ticket"
        MISSING = "missing", "Not found"

    count = models.ForeignKey(Count, on_delete=models.PROTECT, related_name="lines")
    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="+")
    expected = MassField()
    found = MassField()
    how = models.CharField(max_length=12, choices=How.choices)
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


class CountLeftOut(Final):
    """A container that a count did not ask for, and why: it was on a car, or nobody had an answer."""

    count = models.ForeignKey(Count, on_delete=models.PROTECT, related_name="left_out")
    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="+")
    why = models.CharField(max_length=200)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["count", "container"], name="container_is_left_out_once")
        ]


class CountDraft(models.Model):
    """A count that is not finished: no record, and goes when it is signed or dropped. One for each refrigerant, ""
    for the whole cabinet. ``stood`` says how each answered container stood when it was answered."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="count_drafts")
    refrigerant = models.CharField(max_length=12, blank=True)
    typed = models.JSONField()
    stood = models.JSONField()
    found = models.PositiveIntegerField()
    asked = models.PositiveIntegerField()
    version = models.PositiveIntegerField(default=1)
    started_at = models.DateTimeField()
    saved_at = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["establishment", "refrigerant"], name="count_is_paused_once")
        ]

    @property
    def title(self) -> str:
        return self.refrigerant or phrase("the cabinet")
