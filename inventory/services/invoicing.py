"""Invoices: put on file, put right, for one delivery or several. No weight moves, whatever is typed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.money import Per
from inventory.models import Billed, Delivery, DeliveryLine, Deposit, Invoice, Price, Supplier
from inventory.queries import creditable_cents, credited_cents
from inventory.services.finding import findable_delivery
from inventory.services.receiving import hold_slips
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person
from shop.services.finding import make_findable

MOST_CENTS = 10_000_000


@dataclass(frozen=True, slots=True)
class PriceIn:
    line: DeliveryLine
    cans: int
    cents: int
    per: Per = Per.CAN


@dataclass(frozen=True, slots=True)
class DepositIn:
    kind: Deposit.Kind
    cents: int
    due_back: date | None = None


@dataclass(frozen=True, slots=True)
class InvoiceIn:
    """A bill as printed. The prices may be left out; then nobody can say whether it adds up."""

    number: str
    dated: date
    total_cents: int
    tax_cents: int = 0
    credit_cents: int = 0
    prices: tuple[PriceIn, ...] = ()
    deposits: tuple[DepositIn, ...] = ()


@transaction.atomic
def add_invoice(
    delivery: Delivery, invoice: InvoiceIn, *also: Delivery, today: date, at: datetime, by: Person
) -> Invoice:
    """Put an invoice on file for a delivery, and for others that it bills too. A delivery may have several."""
    hold_slips(delivery.supplier)
    refuse_if_blocked(
        [*_problems(delivery.supplier, invoice, (delivery, *also), today), *_known(delivery, invoice)]
    )
    return _written(delivery.supplier, invoice, (delivery, *also), None, at=at, by=by)


@transaction.atomic
def put_invoice_right(
    old: Invoice, invoice: InvoiceIn, deliveries: Sequence[Delivery], *, today: date, at: datetime, by: Person
) -> Invoice:
    """Answer an invoice with a better reading of it: a price, its number, which deliveries it bills. The old one stays.

    Refused when it was put right already by somebody else, or when it would bill less than was credited.
    """
    hold_slips(old.supplier)
    found = _problems(old.supplier, invoice, deliveries, today)
    if Invoice.objects.filter(replaces=old).exists():
        sentence = phrase("Somebody has put {invoice} right meanwhile. Open it anew.", invoice=old.number)
        found.append(blocked("invoice-replaced", sentence))
    if invoice.number.strip() != old.number:
        found += _known(old.deliveries.all()[0], invoice)
    refuse_if_blocked(found)
    new = _written(old.supplier, invoice, deliveries, old, at=at, by=by)
    refuse_if_blocked(_credited_more({*deliveries, *old.deliveries.all()}))
    return new


def _written(
    supplier: Supplier,
    invoice: InvoiceIn,
    deliveries: Sequence[Delivery],
    replaces: Invoice | None,
    *,
    at: datetime,
    by: Person,
) -> Invoice:
    row = Invoice.objects.create(
        supplier=supplier,
        number=invoice.number.strip(),
        dated=invoice.dated,
        total_cents=invoice.total_cents,
        tax_cents=invoice.tax_cents,
        credit_cents=invoice.credit_cents,
        replaces=replaces,
        at=at,
        by=by,
    )
    Billed.objects.bulk_create(Billed(invoice=row, delivery=one) for one in dict.fromkeys(deliveries))
    Price.objects.bulk_create(
        Price(invoice=row, line=one.line, cans=one.cans, cents=one.cents, per=one.per)
        for one in invoice.prices
    )
    Deposit.objects.bulk_create(
        Deposit(invoice=row, kind=one.kind, cents=one.cents, due_back=one.due_back)
        for one in invoice.deposits
    )
    make_findable(supplier.establishment, *(findable_delivery(one) for one in deliveries))
    return row


def _problems(
    supplier: Supplier, invoice: InvoiceIn, deliveries: Sequence[Delivery], today: date
) -> list[Finding]:
    found = []
    if not invoice.number.strip():
        found.append(blocked("invoice-empty", phrase("Type the invoice number."), "number"))
    if invoice.dated > today:
        found.append(blocked("invoice-future", phrase("That day has not come yet."), "dated"))
    if not 0 <= invoice.total_cents <= MOST_CENTS:
        sentence = phrase("Type the total in dollars, for example 642.18.")
        found.append(blocked("invoice-total", sentence, "total"))
    parts = [
        invoice.tax_cents,
        invoice.credit_cents,
        *(one.cents for one in invoice.prices),
        *(one.cents for one in invoice.deposits),
    ]
    if not all(0 <= part <= MOST_CENTS for part in parts):
        found.append(blocked("invoice-part", phrase("No part of a bill is below nothing.")))
    billed = {one.pk for one in deliveries}
    if any(one.supplier_id != supplier.pk for one in deliveries) or not billed:
        sentence = phrase("An invoice is for deliveries of its own supplier.")
        found.append(blocked("invoice-supplier", sentence))
    if any(one.line.delivery_id not in billed or one.cans < 1 for one in invoice.prices):
        sentence = phrase("A price is for cans of a delivery that the invoice bills.")
        found.append(blocked("price-astray", sentence))
    return found


def _known(delivery: Delivery, invoice: InvoiceIn) -> list[Finding]:
    number = invoice.number.strip()
    first = Invoice.objects.standing().filter(supplier=delivery.supplier_id, number__iexact=number).first()
    if first is None:
        return []
    sentence = phrase(
        "Invoice {invoice} is on file for {deliveries}. Open it to put it right, or to add this delivery to it.",
        invoice=first.number,
        deliveries=", ".join(one.number for one in first.deliveries.all()),
    )
    return [blocked("invoice-known", sentence, "number")]


def _credited_more(deliveries: set[Delivery]) -> list[Finding]:
    for one in sorted(deliveries, key=lambda one: one.pk):
        if credited_cents(one) > creditable_cents(one):
            sentence = phrase(
                "More was credited for {delivery} than it would cost now. Read both papers again.",
                delivery=one.number,
            )
            return [blocked("credited-more", sentence, "total")]
    return []
