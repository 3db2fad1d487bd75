"""An invoice as it is printed: its total, the price of each line, tax, credit, deposits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.core.money import Per
from inventory.forms.rows import BOX
from inventory.models import Delivery, DeliveryLine, Deposit, Invoice
from inventory.services import DepositIn, InvoiceIn, PriceIn
from inventory.services.slips import MOST_CANS
from shop.forms import DayField, DollarField, WholeField, line

PRICE = ("cans", "price", "per")
DEPOSIT = ("kind", "amount", "due")
DEPOSITS = 2  # a deposit and a core charge; a bill with more of them adds them up
PER = [(Per.CAN.value, _("per can")), (Per.CASE.value, _("per case")), (Per.ALL.value, _("for all"))]


class InvoiceForm(forms.Form):
    """An invoice of one delivery or more, new or put right. No weight moves. Prices may be left out."""

    number = line(40, label=_("Invoice number"))
    dated = DayField(label=_("Invoice date"))
    total = DollarField(label=_("Total, as printed"))
    tax = DollarField(label=_("Tax"), required=False, template_name=BOX)
    credit = DollarField(label=_("Credit taken off on this bill"), required=False, template_name=BOX)

    def __init__(self, data: Any = None, *, deliveries: Sequence[Delivery], **rest: Any) -> None:
        super().__init__(data, **rest)
        self.slip_lines: list[DeliveryLine] = [line for one in deliveries for line in one.lines.all()]
        self.several = len(deliveries) > 1
        for one in self.slip_lines:
            self.fields[f"cans_{one.pk}"] = WholeField(
                label=_("Cans billed"), required=False, most=MOST_CANS, template_name=BOX, initial=one.came
            )
            self.fields[f"price_{one.pk}"] = DollarField(label=_("Price"), required=False, template_name=BOX)
            self.fields[f"per_{one.pk}"] = forms.ChoiceField(  # type: ignore[call-arg] # not known to the stubs yet
                label=_("The price is"), choices=PER, required=False, template_name=BOX
            )
        for number in range(DEPOSITS):
            self.fields[f"kind_{number}"] = forms.ChoiceField(  # type: ignore[call-arg]
                label=_("What"), choices=[("", "–"), *Deposit.Kind.choices], required=False, template_name=BOX
            )
            self.fields[f"amount_{number}"] = DollarField(
                label=_("Amount"), required=False, template_name=BOX
            )
            self.fields[f"due_{number}"] = DayField(label=_("Due back by"), required=False, template_name=BOX)

    def price_rows(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        for one in self.slip_lines:
            slip = f", slip {one.delivery.slip}" if self.several else ""
            yield f"{one.type}{slip}", [self[f"{name}_{one.pk}"] for name in PRICE]

    def deposit_rows(self) -> Iterator[list[forms.BoundField]]:
        for number in range(DEPOSITS):
            yield [self[f"{name}_{number}"] for name in DEPOSIT]

    @property
    def has_deposit(self) -> bool:
        return any(field.value() for row in self.deposit_rows() for field in row)

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        for one in self.slip_lines:
            if said.get(f"price_{one.pk}") is not None and not said.get(f"cans_{one.pk}"):
                self.add_error(f"cans_{one.pk}", _("Type how many cans the bill has on this line."))
        for number in range(DEPOSITS):
            kind, amount = said.get(f"kind_{number}"), said.get(f"amount_{number}")
            if bool(kind) != bool(amount) and f"amount_{number}" not in self.errors:
                self.add_error(
                    f"amount_{number}", _("A deposit has a kind and an amount; or leave both empty.")
                )
        return said

    def invoice(self) -> InvoiceIn:
        said = self.cleaned_data
        prices = [
            PriceIn(
                one, said[f"cans_{one.pk}"], said[f"price_{one.pk}"], Per(said[f"per_{one.pk}"] or Per.CAN)
            )
            for one in self.slip_lines
            if said[f"price_{one.pk}"] is not None
        ]
        deposits = [
            DepositIn(Deposit.Kind(said[f"kind_{number}"]), said[f"amount_{number}"], said[f"due_{number}"])
            for number in range(DEPOSITS)
            if said[f"kind_{number}"]
        ]
        return InvoiceIn(
            said["number"],
            said["dated"],
            said["total"],
            said["tax"] or 0,
            said["credit"] or 0,
            tuple(prices),
            tuple(deposits),
        )


def as_typed(invoice: Invoice) -> dict[str, Any]:
    """An invoice on file as the boxes of ``InvoiceForm`` show it."""
    first: dict[str, Any] = {
        "number": invoice.number,
        "dated": invoice.dated,
        "total": _dollars(invoice.total_cents),
        "tax": _dollars(invoice.tax_cents) if invoice.tax_cents else "",
        "credit": _dollars(invoice.credit_cents) if invoice.credit_cents else "",
    }
    for price in invoice.prices.all():
        first |= {
            f"cans_{price.line_id}": price.cans,
            f"price_{price.line_id}": _dollars(price.cents),
            f"per_{price.line_id}": price.per,
        }
    for number, deposit in enumerate(invoice.deposits.all()):
        first |= {
            f"kind_{number}": deposit.kind,
            f"amount_{number}": _dollars(deposit.cents),
            f"due_{number}": deposit.due_back,
        }
    return first


def _dollars(cents: int) -> str:
    return f"{cents // 100}.{cents % 100:02d}"
