"""Papers that came from outside and are kept as bytes: what every one of them has, and those from before the book."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from shop.models import Establishment
from shop.records import Record


class Attached(Record):
    """A file known by its content: a PDF as it came, a picture drawn anew."""

    class Media(models.TextChoices):
        PDF = "application/pdf", "PDF"
        JPEG = "image/jpeg", "JPEG"

    media = models.CharField(max_length=16, choices=Media.choices)
    content = models.BinaryField()
    sha256 = models.CharField("SHA-256", max_length=64)
    size = models.PositiveIntegerField("bytes")

    class Meta:
        abstract = True

    @property
    def ending(self) -> str:
        return "pdf" if self.media == self.Media.PDF else "jpg"


class EarlierPaper(Attached):
    """A scan of the shop's own paper from before the book, by its month. It is looked at; no job is made of it."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="earlier_papers")
    month = models.DateField("first day of its month")
    what = models.CharField("what it is", max_length=80)

    class Meta:
        ordering = ["-month", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(month__day=1), name="earlier_paper_is_of_a_month"),
        ]
        indexes = [models.Index(fields=["establishment", "-month"])]

    def __str__(self) -> str:
        return f"earlier paper {self.pk}"


class EarlierSetAside(Record):
    """An earlier paper counts no more, and why. It stays on file."""

    paper = models.OneToOneField(EarlierPaper, on_delete=models.PROTECT, related_name="set_aside")
    why = models.CharField(max_length=200)
