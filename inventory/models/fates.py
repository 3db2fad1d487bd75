"""What is said of a container beside its one fate: how an empty was disposed of, that it is on hold, that its heel is
kept for the next job."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.book import Entry
from inventory.models.containers import Container, WeighTicket
from shop.records import Record


class Disposal(Record):
    """An emptied can was marked empty and disposed of. ``entry`` is what the book moved for it."""

    class How(models.TextChoices):
        SCRAP = "scrap metal", "Scrap metal"
        HAULER = "hauler", "The waste hauler took it"
        SUPPLIER = "core", "Back to the supplier as an empty core"
        OTHER = "other", "Another way, said below"

    container = models.OneToOneField(Container, on_delete=models.PROTECT, related_name="disposal")
    how = models.CharField(max_length=12, choices=How.choices)
    note = models.CharField(max_length=200, blank=True)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, null=True, related_name="disposal")


class Hold(Record):
    """A container is not to be used until somebody says that it may be again (``HoldEnd``)."""

    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="holds")
    why = models.CharField(max_length=200)

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="hold_says_why")]


class HoldEnd(Record):
    hold = models.OneToOneField(Hold, on_delete=models.PROTECT, related_name="end")
    why = models.CharField(max_length=200)

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="hold_end_says_why")]


class KeptForNext(Record):
    """What is left in an open can is kept for the next job. It holds while ``ticket`` is the can's last one."""

    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="kept")
    ticket = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="kept")

    class Meta:
        ordering = ["pk"]
