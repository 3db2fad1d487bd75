"""Rows that put cans right afterwards: a mixed cylinder, two cans that were swapped, a ticket that was misread."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from inventory.models.book import Entry
from inventory.models.containers import UNITS, Container, WeighTicket
from shop.core.mass import Reading, Unit
from shop.fields import MassField
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


class TicketPutRight(Record):
    """What a weigh ticket should have said, by a correction slip of a closed job. The newest of a ticket holds.

    The ticket keeps its number, its time and its name: who read the scale stays who read it.
    """

    ticket = models.ForeignKey(WeighTicket, on_delete=models.PROTECT, related_name="put_right")
    slip = models.CharField("correction slip", max_length=16)
    reading_text = models.CharField("reading, as it should have been typed", max_length=16)
    reading_unit = models.CharField(max_length=8, choices=UNITS)
    gross = MassField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["ticket", "slip"], name="slip_puts_a_ticket_right_once"),
            models.CheckConstraint(condition=Q(gross__gt=0), name="put_right_ticket_weighs_something"),
        ]

    @property
    def reading(self) -> Reading:
        return Reading(self.reading_text, Unit(self.reading_unit), self.gross)


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
