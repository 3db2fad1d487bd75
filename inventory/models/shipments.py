"""Shipments: recovered refrigerant sent to a facility, by our weight and by theirs."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.book import Entry
from inventory.models.containers import Container, WeighTicket
from shop.core.mass import Mass
from shop.fields import MassField
from shop.models import Establishment
from shop.records import Final, Record


class Facility(Record):
    """Where refrigerant is sent. Its name and address are kept because 40 CFR 82.42(b)(1) asks for them.

    A facility that moved is a new row: what was sent to the old address stays there.
    """

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="facilities")
    name = models.CharField(max_length=80)
    address = models.CharField(max_length=200)
    phone = models.CharField(max_length=30, blank=True)
    reclaimer_checked_on = models.DateField("its reclaimer status was looked up on", null=True)

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(name="") & ~Q(address=""), name="facility_has_a_name_and_an_address"
            ),
            models.UniqueConstraint(
                fields=["establishment", "name", "address"], name="facility_is_listed_once"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Shipment(Record):
    """Cylinders that left for a facility together."""

    class Purpose(models.TextChoices):
        RECLAIM = "reclaim", "To be reclaimed"
        DESTROY = "destroy", "To be destroyed"
        RECYCLE = "recycle", "To be recycled by the same owner"
        EXCHANGE = "exchange", "Cylinder exchange"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="shipments")
    number = models.CharField(max_length=16)
    facility = models.ForeignKey(Facility, on_delete=models.PROTECT, related_name="shipments")
    on = models.DateField()
    purpose = models.CharField(max_length=12, choices=Purpose.choices)
    carrier = models.CharField(max_length=80)
    driver = models.CharField(max_length=80, blank=True)
    shipping_paper = models.CharField("as on the shipping paper", max_length=200, blank=True)
    shipper = models.CharField("who prepared and signed the shipping paper", max_length=80, blank=True)
    capped = models.BooleanField("valves capped, cylinders upright and checked for leaks")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="shipment")

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "number"], name="shipment_number_is_given_once"),
        ]

    def __str__(self) -> str:
        return self.number


class ShippedCylinder(Final):
    """One cylinder of a shipment: its ticket when it left, and what it held by that weight."""

    shipment = models.ForeignKey(Shipment, on_delete=models.PROTECT, related_name="cylinders")
    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="shipped")
    ticket = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="shipped")
    net = MassField()
    mixed = models.BooleanField("nobody can say what it holds")
    comes_back = models.BooleanField("ours, and comes back empty")
    note = models.CharField("identifier result, oil", max_length=120, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["shipment", "container"], name="cylinder_is_shipped_once"),
            models.CheckConstraint(condition=Q(net__gt=0), name="shipped_cylinder_holds_something"),
        ]


class Receipt(Record):
    """What the facility says it got. The book keeps our weight; theirs stands beside it."""

    shipment = models.OneToOneField(Shipment, on_delete=models.PROTECT, related_name="receipt")
    number = models.CharField("their ticket number", max_length=40)
    on = models.DateField()
    note = models.CharField("purity, credit, why the weights differ", max_length=200, blank=True)


class ReceiptLine(Final):
    """Their net weight of one cylinder, as on their ticket."""

    receipt = models.ForeignKey(Receipt, on_delete=models.PROTECT, related_name="lines")
    cylinder = models.OneToOneField(ShippedCylinder, on_delete=models.PROTECT, related_name="received")
    net_text = models.CharField(max_length=16)
    net_unit = models.CharField(max_length=8)
    net = MassField()

    class Meta:
        ordering = ["pk"]

    @property
    def difference(self) -> Mass:
        """Theirs less ours."""
        return self.net - self.cylinder.net
