"""Money of deliveries, apart from their weights. Nothing here has a key into the refrigerant book."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.core.money import Per, PricedLine
from inventory.models.deliveries import Delivery, DeliveryLine, Supplier
from shop.records import Final, Record


class Invoices(models.QuerySet["Invoice"]):
    def standing(self) -> Invoices:
        """As they hold now: those put right are left out."""
        return self.filter(replaced_by=None)


class Invoice(Record):
    """One bill, for one delivery or several. A later row that ``replaces`` it puts it right; the old one is kept."""

    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="invoices")
    deliveries: models.ManyToManyField[Delivery, Billed] = models.ManyToManyField(
        Delivery, through="Billed", related_name="invoices"
    )
    number = models.CharField(max_length=40)
    dated = models.DateField()
    total_cents = models.PositiveIntegerField("total, as printed")
    tax_cents = models.PositiveIntegerField("tax", default=0)
    credit_cents = models.PositiveIntegerField("credit taken off on this bill", default=0)
    replaces = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="replaced_by")

    objects = Invoices.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["supplier", "number"], condition=Q(replaces=None), name="invoice_is_on_file_once"
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def goods_cents(self) -> int:
        """What was billed before a credit was taken off: the most that can ever be credited."""
        return self.total_cents + self.credit_cents


class Billed(Final):
    """Which delivery an invoice is for."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="billed")
    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="billed")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["invoice", "delivery"], name="delivery_is_billed_once")
        ]


class Price(Final):
    """What an invoice asks for the cans of one line, as it is printed there: per can, per case or for all."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="prices")
    line = models.ForeignKey(DeliveryLine, on_delete=models.PROTECT, related_name="prices")
    cans = models.PositiveIntegerField("cans billed")
    cents = models.PositiveIntegerField("price, as printed")
    per = models.CharField(max_length=4, choices=[(per.value, per.value) for per in Per])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(cans__gt=0), name="price_is_of_cans"),
            models.UniqueConstraint(fields=["invoice", "line"], name="line_is_priced_once"),
        ]

    @property
    def priced(self) -> PricedLine:
        kind = self.line.type
        return PricedLine(str(kind), self.cans, self.cents, Per(self.per), kind.cans_per_case, kind.net)


class Deposit(Final):
    """Money on an invoice that comes back: a deposit or a core charge, with the day by which."""

    class Kind(models.TextChoices):
        DEPOSIT = "deposit", "Deposit"
        CORE = "core", "Core charge"

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="deposits")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    cents = models.PositiveIntegerField()
    due_back = models.DateField("what it stands for is due back by", null=True)

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=Q(cents__gt=0), name="deposit_is_money")]
