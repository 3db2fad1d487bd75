"""Cans that were refused or sent back, and the credit for them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.book import Entry
from inventory.models.containers import Container, WeighTicket
from inventory.models.deliveries import Delivery
from shop.fields import MassField
from shop.models import Establishment
from shop.records import Final, Record


class Damage(Record):
    """What is wrong with a can that came damaged, and where it stands. ``lost`` is what was gone before our work,
    nothing where it was not weighed. ``entry`` is what that, or its being refused later, did to the book."""

    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="damages")
    what = models.CharField("what is wrong with it", max_length=120)
    where = models.CharField("where it stands now", max_length=120)
    ticket = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, null=True, related_name="damage")
    lost = MassField(default=0)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, null=True, related_name="damage")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(what="") & ~Q(where=""), name="damage_is_described"),
            models.CheckConstraint(condition=Q(lost=0) | Q(ticket__isnull=False), name="loss_was_weighed"),
        ]


class ReturnSlip(Record):
    """Cans of one delivery that left the shop again, to whom, and why."""

    class To(models.TextChoices):
        SUPPLIER = "supplier", "Back to the supplier"
        OTHER = "other", "The supplier said keep it: to a facility that takes it"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="return_slips")
    number = models.CharField(max_length=16)
    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="return_slips")
    on = models.DateField()
    to = models.CharField("where they went", max_length=8, choices=To.choices)
    handed_to = models.CharField(max_length=80)
    reason = models.CharField(max_length=200)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="return_slip")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["establishment", "number"], name="return_slip_number_is_given_once"
            ),
            models.CheckConstraint(
                condition=~Q(handed_to="") & ~Q(reason=""), name="return_says_where_and_why"
            ),
        ]

    def __str__(self) -> str:
        return self.number


class ReturnedCan(Final):
    """A can on a return slip; a can goes back once."""

    container = models.OneToOneField(
        Container, on_delete=models.PROTECT, primary_key=True, related_name="given_back"
    )
    slip = models.ForeignKey(ReturnSlip, on_delete=models.PROTECT, related_name="cans")


class Credit(Record):
    """Money the supplier gave back: for the cans of a return slip, or for a deposit (no slip)."""

    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="credits")
    slip = models.ForeignKey(ReturnSlip, on_delete=models.PROTECT, null=True, related_name="credits")
    number = models.CharField(max_length=40)
    dated = models.DateField()
    cents = models.PositiveIntegerField()

    class Meta:
        ordering = ["pk"]
