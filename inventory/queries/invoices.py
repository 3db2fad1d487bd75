"""Reads about money: whether a bill adds up, what a can cost last time, what can still be credited."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import F, Q, QuerySet, Sum

from inventory.core.money import Bill, PricedLine, price_change, what_is_off
from inventory.models import Credit, Delivery, Deposit, Invoice, Price
from shop.core.mass import Unit


@dataclass(frozen=True, slots=True)
class PriceLine:
    """A price of an invoice beside the one before it. Cents per can, gram and ounce, as floats for show only."""

    price: Price
    priced: PricedLine
    before: Price | None

    @property
    def per_can(self) -> int:
        return round(self.priced.per_can)

    @property
    def per_gram(self) -> str:
        """Dollars, to a tenth of a cent."""
        return f"${float(self.priced.per_mass(Unit.G)) / 100:.3f}"

    @property
    def per_ounce(self) -> str:
        return f"${float(self.priced.per_mass(Unit.OZ)) / 100:.2f}"

    @property
    def change(self) -> int | None:
        """In percent since the price before; None without one."""
        return None if self.before is None else price_change(self.priced, self.before.priced)

    @property
    def by_how_much(self) -> int:
        return abs(self.change or 0)


@dataclass(frozen=True, slots=True)
class OnFile:
    """An invoice as it holds now: whether it adds up, its prices, and what was on file before it, oldest first."""

    invoice: Invoice
    bill: Bill
    off: str
    prices: tuple[PriceLine, ...]
    deposits: tuple[Deposit, ...]
    others: tuple[Delivery, ...]
    earlier: tuple[Invoice, ...]


def standing_invoices(delivery: Delivery) -> QuerySet[Invoice]:
    """What bills a delivery now, and what was put on file with one that turned out to be the same."""
    return Invoice.objects.standing().filter(Q(billed__delivery=delivery) | _of_merged(delivery)).distinct()


def invoices_of(delivery: Delivery) -> list[OnFile]:
    """The standing invoices of a delivery, the oldest first."""
    rows = (
        standing_invoices(delivery)
        .select_related("by")
        .prefetch_related("prices__line__type", "deposits", "deliveries__lines")
    )
    return [_on_file(invoice, delivery) for invoice in rows]


def _of_merged(delivery: Delivery) -> Q:
    """What was put on file with a delivery that turned out to be this one."""
    return Q(billed__delivery__merged__delivery=delivery)


def _on_file(invoice: Invoice, delivery: Delivery) -> OnFile:
    deposits, deliveries = tuple(invoice.deposits.all()), tuple(invoice.deliveries.all())
    bill = Bill(
        total=invoice.total_cents,
        lines=tuple(price.priced for price in invoice.prices.all()),
        tax=invoice.tax_cents,
        deposits=sum(one.cents for one in deposits),
        credit=invoice.credit_cents,
        refused=sum(line.damaged for one in deliveries for line in one.lines.all()),
    )
    prices = tuple(
        PriceLine(price, price.priced, price_before(price, invoice)) for price in invoice.prices.all()
    )
    others = tuple(one for one in deliveries if one.pk != delivery.pk)
    return OnFile(invoice, bill, what_is_off(bill), prices, deposits, others, _earlier(invoice))


def price_before(price: Price, invoice: Invoice) -> Price | None:
    """What the same kind of can cost on the invoice before this one, from whichever supplier."""
    rows = Price.objects.filter(
        line__type=price.line.type_id,
        invoice__replaced_by=None,
        invoice__supplier__establishment=invoice.supplier.establishment_id,
        invoice__dated__lt=invoice.dated,
    )
    return rows.select_related("invoice__supplier", "line__type").order_by("-invoice__dated", "-pk").first()


def _earlier(invoice: Invoice) -> tuple[Invoice, ...]:
    found: list[Invoice] = []
    while invoice.replaces_id is not None:
        invoice = Invoice.objects.select_related("by").get(pk=invoice.replaces_id)
        found.insert(0, invoice)
    return tuple(found)


def creditable_cents(delivery: Delivery) -> int:
    """What the invoices of a delivery bill in all, before any credit: no more can come back."""
    return sum(invoice.goods_cents for invoice in standing_invoices(delivery))


def credited_cents(delivery: Delivery) -> int:
    """What was credited of those invoices so far, for all deliveries that they bill."""
    billed = Delivery.objects.filter(
        Q(pk=delivery.pk) | Q(billed__invoice__in=standing_invoices(delivery).values("pk"))
    )
    rows = Credit.objects.filter(delivery__in=billed.values("pk"))
    return rows.aggregate(all=Sum("cents"))["all"] or 0


def deposits_out(delivery: Delivery) -> int:
    """Deposits and core charges of a delivery's invoices that have not come back, in cents."""
    paid = Deposit.objects.filter(invoice__in=standing_invoices(delivery).values("pk"))
    back = Credit.objects.filter(delivery=delivery, slip=None)
    return (paid.aggregate(all=Sum("cents"))["all"] or 0) - (back.aggregate(all=Sum("cents"))["all"] or 0)


def last_prices(delivery: Delivery) -> dict[int, Price]:
    """For each kind of can on a delivery, the newest price that is on file."""
    found: dict[int, Price] = {}
    rows = Price.objects.filter(
        line__type__in=delivery.lines.values("type"),
        invoice__replaced_by=None,
        invoice__supplier__establishment=delivery.establishment_id,
    )
    for price in rows.select_related("invoice", "line__type").order_by(F("invoice__dated").asc(), "pk"):
        found[price.line.type_id] = price
    return found
