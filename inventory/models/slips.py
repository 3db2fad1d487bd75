"""Rows that put cans right afterwards: a cylinder that is mixed, two cans that were swapped."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from inventory.models.book import Entry
from inventory.models.containers import Container, WeighTicket
from shop.models import Establishment
from shop.records import Record


class MixedMark(Record):
    """From ``since`` on nobody can say what this container holds. There is no way back: it may only be shipped."""

    container = models.OneToOneField(Container, on_delete=models.PROTECT, related_name="mixed")
    since = models.DateTimeField()
    why = models.CharField(max_length=200)


class TicketSetAside(Record):
    """A weigh ticket that was written against the wrong container. It stays readable and says nothing any more."""

    ticket = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="set_aside")


class SwapSlip(Record):
    """Two cans of one refrigerant were taken for each other. Both are weighed now, and the book follows the scale.

    ``lighter`` is the can that was used without being written down, ``heavier`` the one it was written against.
    """

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    number = models.CharField(max_length=16)
    heavier = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="swaps_heavier")
    lighter = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="swaps_lighter")
    heavier_ticket = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="+")
    lighter_ticket = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="+")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="swap_slip")
    why = models.CharField(max_length=200)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "number"], name="slip_number_is_given_once"),
            models.CheckConstraint(condition=~Q(heavier=F("lighter")), name="swap_is_of_two_cans"),
        ]
