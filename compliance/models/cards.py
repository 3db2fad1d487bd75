"""Who holds a copy of whose 609 card, and what they were told when somebody left."""

from __future__ import annotations

from django.db import models

from inventory.models import Supplier
from shop.models import Card, CardImage, Establishment, Person
from shop.records import Final, Record


class CardCopy(Record):
    """A sheet of 609 cards that went to a supplier. ``buyers`` are the names it listed, one a line."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="card_copies")
    number = models.CharField(max_length=16)
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="card_copies")
    on = models.DateField()
    buyers = models.TextField("may buy and sign for deliveries", blank=True)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "number"], name="card_copy_number_is_given_once")
        ]

    def __str__(self) -> str:
        return self.number


class CardCopied(Final):
    """One card on such a sheet, with the image that went along."""

    copy = models.ForeignKey(CardCopy, on_delete=models.PROTECT, related_name="cards")
    card = models.ForeignKey(Card, on_delete=models.PROTECT, related_name="copies")
    image = models.ForeignKey(CardImage, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["copy", "card"], name="card_is_on_a_copy_once")]


class SupplierNotice(Record):
    """A supplier was told that somebody whose card they hold works here no longer."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="notices")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()
    how = models.CharField(max_length=80)

    class Meta:
        ordering = ["pk"]
