"""A can with no number that turned up in a drawer: where it came from nobody knows."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.book import Entry
from inventory.models.containers import Container, WeighTicket
from shop.records import Record


class FoundCan(Record):
    """It got a number, and what it holds entered the book as a difference, never as a purchase. The photo is cleaned,
    JPEG; without one it is empty."""

    container = models.OneToOneField(Container, on_delete=models.PROTECT, related_name="found")
    where = models.CharField("where it was found", max_length=120)
    printed = models.CharField("what is printed on it", max_length=120)
    ticket = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="+")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="found_can")
    jpeg = models.BinaryField("JPEG", blank=True)
    sha256 = models.CharField("SHA-256 of the photo", max_length=64, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(where="") & ~Q(printed=""), name="found_can_says_where")
        ]


class FoundCanAccepted(Record):
    """The owner has looked at it: it may go on a car."""

    found = models.OneToOneField(FoundCan, on_delete=models.PROTECT, related_name="accepted")
    why = models.CharField(max_length=200)

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="found_can_accepted_says_why")]
