"""Money of deliveries: invoices, and what the supplier gave back. No weight moves, whatever is said."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail

from inventory.api.deliveries import InvoiceOut, OfDelivery
from inventory.api.receiving import OFFICE_WRITES, cans_field
from inventory.core.money import Per
from inventory.models import Credit, Delivery, DeliveryLine, Deposit, Invoice, Price
from inventory.queries import deliveries, return_slips, standing_invoices
from inventory.services import (
    CreditIn,
    DepositIn,
    InvoiceIn,
    PriceIn,
    add_credit,
    add_deposit_back,
    add_invoice,
)
from inventory.services.invoicing import MOST_CENTS
from shop.api.base import Lists, Writes, reads
from shop.api.fields import DayIn, NamesOf, OneOf, SeveralOf, WholeIn, several
from shop.api.refusals import fields_as, renamed
from shop.core.scopes import Scope
from shop.http import now
from shop.permissions import FRONT_OFFICE, OWNER

OFFICE_READS = reads((FRONT_OFFICE, OWNER), Scope.CABINET_READ)


def cents_field(**rest: Any) -> WholeIn:
    """Money in cents."""
    return WholeIn(min_value=0, max_value=MOST_CENTS, **rest)


class PriceOut(serializers.Serializer[Price]):
    """What the bill asks for the cans of one line."""

    delivery = serializers.CharField(source="line.delivery.number")
    type = serializers.CharField(source="line.type")
    cans = serializers.IntegerField()
    cents = serializers.IntegerField()
    per = serializers.ChoiceField([one.value for one in Per])


class DepositOut(serializers.Serializer[Deposit]):
    """Money on a bill that comes back."""

    kind = serializers.ChoiceField(Deposit.Kind.choices)
    cents = serializers.IntegerField()
    due_back = serializers.DateField(allow_null=True)


class BillOut(InvoiceOut):
    """An invoice with its prices. It may bill several deliveries of one supplier."""

    tax_cents = serializers.IntegerField()
    credit_cents = serializers.IntegerField(help_text="Taken off on this very bill.")
    deliveries = NamesOf("number")
    prices = several(PriceOut)
    deposits = several(DepositOut)


class LinePrice(serializers.Serializer[Any]):
    """The price of one line as it is printed: per can, per case or for all."""

    delivery = serializers.CharField(
        max_length=16, default="", allow_blank=True, help_text="This delivery when left out."
    )
    line = WholeIn(min_value=1, max_value=1000, help_text="The line's number, from 1.")
    cans = cans_field(help_text="Cans billed.")
    cents = cents_field()
    per = serializers.ChoiceField([one.value for one in Per], default=Per.CAN.value)


class BilledDeposit(serializers.Serializer[Any]):
    """A deposit or a core charge."""

    kind = serializers.ChoiceField(Deposit.Kind.choices)
    cents = WholeIn(min_value=1, max_value=MOST_CENTS)
    due_back = DayIn(required=False, allow_null=True, default=None)

    def validate(self, attrs: Any) -> DepositIn:
        return DepositIn(Deposit.Kind(attrs["kind"]), attrs["cents"], attrs["due_back"])


class NewInvoice(serializers.Serializer[Any]):
    """An invoice as printed. Without prices nobody can say whether it adds up."""

    number = serializers.CharField(max_length=40)
    dated = DayIn()
    total_cents = cents_field()
    tax_cents = cents_field(default=0)
    credit_cents = cents_field(default=0, help_text="Taken off on this very bill.")
    also = SeveralOf(
        "number", deliveries, default=list, max_length=20, help_text="Other deliveries that it bills."
    )
    prices = several(LinePrice, default=list, max_length=50)
    deposits = several(BilledDeposit, default=list, max_length=10)


class DeliveryInvoices(OfDelivery, Lists, Writes):
    """The invoices of a delivery as they hold now; POST puts one on file. No weight moves."""

    opens = OFFICE_READS | OFFICE_WRITES
    takes = NewInvoice
    gives = BillOut
    model = Invoice
    example = {
        "number": "550918",
        "dated": "2024-04-03",
        "total_cents": 64218,
        "tax_cents": 4218,
        "prices": [{"line": 1, "cans": 12, "cents": 5000}],
    }

    def rows(self, delivery: str) -> QuerySet[Invoice]:
        mine = standing_invoices(self.delivery(delivery)).values("pk")
        return Invoice.objects.filter(pk__in=mine).prefetch_related(
            "deliveries", "deposits", "prices__line__type", "prices__line__delivery"
        )

    def write(self, said: Any, delivery: str) -> Invoice:
        at, mine = now(), self.delivery(delivery)
        billed = [mine, *(one for one in said["also"] if one.pk != mine.pk)]
        invoice = InvoiceIn(
            said["number"],
            said["dated"],
            said["total_cents"],
            said["tax_cents"],
            said["credit_cents"],
            _prices(said["prices"], billed),
            tuple(said["deposits"]),
        )
        today = timezone.localdate(at)
        with fields_as(renamed({"total": "total_cents"})):
            made = add_invoice(mine, invoice, *billed[1:], today=today, at=at, by=self.person)
        return self.rows(delivery).get(pk=made.pk)


def _prices(said: Sequence[Any], billed: Sequence[Delivery]) -> tuple[PriceIn, ...]:
    lines: dict[tuple[str, int], DeliveryLine] = {}
    for one in billed:
        lines |= {(one.number, number): line for number, line in enumerate(one.lines.all(), 1)}
    priced = dict[int, PriceIn]()
    for number, price in enumerate(said):
        line = lines.get((price["delivery"] or billed[0].number, price["line"]))
        if line is None or line.pk in priced:
            sentence = _("A price is for a line of a delivery that is billed, once.")
            raise serializers.ValidationError({f"prices.{number}.line": [ErrorDetail(sentence, "unknown")]})
        priced[line.pk] = PriceIn(line, price["cans"], price["cents"], Per(price["per"]))
    return tuple(priced.values())


class CreditOut(serializers.Serializer[Credit]):
    """What the supplier gave back: for the cans of a return slip, or a deposit (no slip)."""

    number = serializers.CharField()
    dated = serializers.DateField()
    cents = serializers.IntegerField()
    slip = serializers.CharField(source="slip.number", default=None, allow_null=True)
    by = serializers.CharField(source="by.name")


class NewCredit(serializers.Serializer[Any]):
    """A credit note."""

    number = serializers.CharField(max_length=40)
    dated = DayIn()
    cents = cents_field(help_text="0 when the supplier never billed the cans.")
    slip = OneOf(
        "number",
        return_slips,
        required=False,
        allow_null=True,
        default=None,
        help_text="The return slip whose cans it is for; without one a deposit came back.",
    )


class DeliveryCredits(OfDelivery, Lists, Writes):
    """What came back for a delivery; POST matches a credit with a return slip, or with the deposits that are out."""

    opens = OFFICE_READS | OFFICE_WRITES
    takes = NewCredit
    gives = CreditOut
    model = Credit
    example = {"number": "CR-17", "dated": "2024-04-03", "cents": 598, "slip": "RS24-0001"}

    def rows(self, delivery: str) -> QuerySet[Credit]:
        return self.delivery(delivery).credits.select_related("slip", "by")

    def write(self, said: Any, delivery: str) -> Credit:
        at, mine, slip = now(), self.delivery(delivery), said["slip"]
        if slip is not None and slip.delivery_id != mine.pk:
            sentence = _("%(slip)s is of another delivery.") % {"slip": slip}
            raise serializers.ValidationError({"slip": [ErrorDetail(sentence, "unknown")]})
        credit, today = CreditIn(said["number"], said["dated"], said["cents"]), timezone.localdate(at)
        with fields_as(renamed({"amount": "cents"})):
            if slip is None:
                return add_deposit_back(mine, credit, today=today, at=at, by=self.person)
            return add_credit(slip, credit, today=today, at=at, by=self.person)
