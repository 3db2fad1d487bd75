"""What was brought in from spreadsheets: the file that waits to be looked at, and each import as one."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.core.importing import TITLES, What
from inventory.models.book import Entry
from inventory.models.counts import Count
from shop.models import Establishment, Person
from shop.records import Final, Record

WHATS = [(one.value, str(TITLES[one])) for one in What]


class ImportDraft(models.Model):
    """A file between its preview and the owner's word. One for each person; it goes when it is written."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    by = models.OneToOneField(Person, on_delete=models.PROTECT, related_name="+")
    what = models.CharField(max_length=16, choices=WHATS)
    file_name = models.CharField(max_length=120)
    content = models.BinaryField()
    sha256 = models.CharField("SHA-256", max_length=64)
    made_at = models.DateTimeField()


class Import(Record):
    """One file that was written, all of it at once. Opening stock is found by its count, the rest by its rows."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="imports")
    what = models.CharField(max_length=16, choices=WHATS)
    file_name = models.CharField(max_length=120)
    sha256 = models.CharField("SHA-256", max_length=64)
    rows = models.PositiveIntegerField()
    count = models.OneToOneField(Count, null=True, on_delete=models.PROTECT, related_name="imported")

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(what="opening-stock", count__isnull=False)
                | Q(what__in=["people", "vehicles"], count=None),
                name="only_imported_stock_has_a_count",
            ),
        ]

    def __str__(self) -> str:
        return f"import {self.pk}"


class ImportedRow(Final):
    """A row of the file and the person or vehicle that it made; an undone vehicle is no longer there."""

    made = models.ForeignKey(Import, on_delete=models.PROTECT, related_name="made")
    row = models.PositiveIntegerField("row of the spreadsheet")
    key = models.PositiveBigIntegerField("number of the person or vehicle")

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["made", "key"])]


class ImportUndone(Record):
    """An import taken back as one, and why. ``entry`` answers the opening entry of stock."""

    made = models.OneToOneField(Import, on_delete=models.PROTECT, related_name="undone")
    entry = models.OneToOneField(Entry, null=True, on_delete=models.PROTECT, related_name="+")
    why = models.CharField(max_length=200)
