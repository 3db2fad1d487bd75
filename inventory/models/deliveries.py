"""Suppliers, deliveries with their cans, and their invoices."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.book import Entry
from inventory.models.containers import Container, ContainerType
from shop.models import Establishment
from shop.records import Final, Record


class Supplier(models.Model):
    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="suppliers")
    name = models.CharField(max_length=80)
    address = models.CharField(max_length=200, blank=True)
    phone = models.CharField(max_length=30, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "name"], name="supplier_is_listed_once")
        ]

    def __str__(self) -> str:
        return self.name


class Delivery(Record):
    """One slip at the back door. ``attempt`` counts earlier deliveries of this slip that were undone."""

    class Asked(models.TextChoices):
        NOT_ASKED = "not asked", "Not asked"
        CARD_SHOWN = "card shown", "Asked: a 609 card was shown"
        ON_FILE = "on file", "On file with the supplier"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="deliveries")
    number = models.CharField(max_length=16)
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="deliveries")
    slip = models.CharField("packing slip number", max_length=40)
    attempt = models.PositiveSmallIntegerField(default=0)
    on = models.DateField()
    asked = models.CharField("what the supplier asked for", max_length=12, choices=Asked.choices)
    asked_of = models.CharField("card of", max_length=80, blank=True)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="delivery")

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "number"], name="delivery_number_is_given_once"),
            models.UniqueConstraint(
                fields=["establishment", "supplier", "slip", "attempt"], name="slip_is_received_once"
            ),
        ]

    def __str__(self) -> str:
        return self.number


class DeliveryLine(Final):
    """Cans of one kind on one delivery."""

    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="lines")
    type = models.ForeignKey(ContainerType, on_delete=models.PROTECT, related_name="+")
    on_slip = models.PositiveIntegerField("cans on the slip")
    sound = models.PositiveIntegerField()
    damaged = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(sound__gt=0) | Q(damaged__gt=0), name="line_brings_a_can"),
        ]

    @property
    def to_come(self) -> int:
        return max(0, self.on_slip - self.sound - self.damaged)


class DeliveredCan(Final):
    """Which line a can came with, and whether it came sound."""

    container = models.OneToOneField(
        Container, on_delete=models.PROTECT, primary_key=True, related_name="delivered"
    )
    line = models.ForeignKey(DeliveryLine, on_delete=models.PROTECT, related_name="cans")
    sound = models.BooleanField()


class DeliveryUndone(Record):
    """A delivery logged by mistake, taken back out of the book by a reversal."""

    delivery = models.OneToOneField(Delivery, on_delete=models.PROTECT, related_name="undone")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="+")
    why = models.CharField(max_length=200)


class Invoice(Record):
    """Money of a delivery, apart from its weights. A later row puts the price right; the old one is kept."""

    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="invoices")
    number = models.CharField(max_length=40)
    dated = models.DateField()
    total_cents = models.PositiveIntegerField("total, with tax and deposit")

    class Meta:
        ordering = ["pk"]
