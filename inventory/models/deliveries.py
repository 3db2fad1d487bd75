"""Suppliers, and deliveries with their slips, lines, cans and papers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Q

from inventory.models.attached import Attached
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


class Lines(models.Manager["DeliveryLine"]):
    """Every line comes with what became of its cans, counted: nothing of it is typed twice."""

    def get_queryset(self) -> models.QuerySet[DeliveryLine]:
        def cans(*conditions: Q) -> models.Count:
            return models.Count("cans", filter=Q(*conditions, cans__isnull=False), distinct=True)

        fine = Q(cans__sound=True, cans__container__damages=None)
        given = Q(cans__container__given_back__isnull=False)
        return (
            super()
            .get_queryset()
            .select_related("not_coming")
            .annotate(  # type: ignore[no-redef]
                came=cans(),
                sound=cans(fine),
                returned=cans(given),
                credited=cans(given, Q(cans__container__given_back__slip__credits__isnull=False)),
            )
        )


class DeliveryLine(Final):
    """Cans of one kind on one slip, some of which may come later. ``ordered`` is None where nobody said it."""

    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="lines")
    type = models.ForeignKey(ContainerType, on_delete=models.PROTECT, related_name="+")
    ordered = models.PositiveIntegerField("cans ordered", null=True)
    on_slip = models.PositiveIntegerField("cans on the slip")
    due = models.DateField("the rest comes on", null=True)

    objects = Lines()

    if TYPE_CHECKING:  # what the manager adds to each row
        came: int
        sound: int
        returned: int
        credited: int

    class Meta:
        ordering = ["pk"]

    @property
    def damaged(self) -> int:
        """Came damaged, or was found so later."""
        return self.came - self.sound

    @property
    def to_come(self) -> int:
        """What was ordered or is on the slip and has not come, unless the supplier said that it never will."""
        if hasattr(self, "not_coming"):
            return 0
        return max(0, max(self.ordered or 0, self.on_slip) - self.came)


class Receipt(Record):
    """More cans of a slip that was received before: what was to come, arrived."""

    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="receipts")
    on = models.DateField()
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="receipt")

    class Meta:
        ordering = ["pk"]


class NotComing(Record):
    """The supplier will not send the rest of a line."""

    line = models.OneToOneField(DeliveryLine, on_delete=models.PROTECT, related_name="not_coming")
    why = models.CharField(max_length=200)


class DeliveredCan(Final):
    """Which line a can came with, whether it came sound, and with which later receipt (None: with the first)."""

    container = models.OneToOneField(
        Container, on_delete=models.PROTECT, primary_key=True, related_name="delivered"
    )
    line = models.ForeignKey(DeliveryLine, on_delete=models.PROTECT, related_name="cans")
    receipt = models.ForeignKey(Receipt, on_delete=models.PROTECT, null=True, related_name="cans")
    sound = models.BooleanField()


class DeliveryUndone(Record):
    """A delivery logged by mistake, taken back out of the book by a reversal."""

    delivery = models.OneToOneField(Delivery, on_delete=models.PROTECT, related_name="undone")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="+")
    why = models.CharField(max_length=200)


class OtherSlip(Record):
    """A second paper of a delivery that is in already. ``was`` is the delivery that was typed from it and undone."""

    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="other_slips")
    slip = models.CharField("packing slip number", max_length=40)
    was = models.OneToOneField(Delivery, on_delete=models.PROTECT, null=True, related_name="merged")

    class Meta:
        ordering = ["pk"]


class Attachment(Attached):
    """A paper or photo of a delivery, as checked by its content."""

    class What(models.TextChoices):
        SLIP = "slip", "Packing slip"
        INVOICE = "invoice", "Invoice"
        DAMAGE = "damage", "Damaged can"
        OTHER = "other", "Something else"

    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="attachments")
    what = models.CharField("what it is", max_length=8, choices=What.choices)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["delivery", "sha256"], name="paper_is_attached_once"),
        ]

    def __str__(self) -> str:
        return f"{self.delivery} attachment {self.pk}"
