"""What a delivery's cans cost by its invoices: the newest row counts, and a total for several things prices none."""

from __future__ import annotations

from inventory.models import Delivery, Deposit
from inventory.queries.prices import price_sheet
from inventory.services import DepositIn, InvoiceIn, LineIn, add_invoice, put_invoice_right
from shop.core.mass import ZERO
from tests.factories import DAY, NOON, Shop, receive


def invoiced(shop: Shop, delivery: Delivery, cents: int, number: str = "1") -> None:
    add_invoice(delivery, InvoiceIn(number, DAY, cents), today=DAY, at=NOON, by=shop.lee)


def test_a_later_invoice_row_puts_the_price_right(shop: Shop) -> None:
    delivery = receive(shop)
    invoiced(shop, delivery, 40800)
    right = InvoiceIn("1", DAY, 44880)
    put_invoice_right(delivery.invoices.get(), right, [delivery], today=DAY, at=NOON, by=shop.lee)

    assert [one.valuation.fifo.cents for one in price_sheet(shop.establishment, DAY).stock] == [44880]


def test_two_invoices_of_one_delivery_price_it_together_and_deposits_do_not_count(shop: Shop) -> None:
    """$408.00 and $20.00 freight, of which $12.00 is a deposit that comes back: 41600 cents."""
    delivery = receive(shop)
    deposit = DepositIn(Deposit.Kind.DEPOSIT, 1200)
    bill = InvoiceIn("1", DAY, 40800, deposits=(deposit,))
    add_invoice(delivery, bill, today=DAY, at=NOON, by=shop.lee)
    invoiced(shop, delivery, 2000, "2")

    assert [one.valuation.fifo.cents for one in price_sheet(shop.establishment, DAY).stock] == [41600]


def test_one_total_for_two_deliveries_prices_neither(shop: Shop) -> None:
    first, second = receive(shop), receive(shop, LineIn(shop.can12, 6, 6), slip="88413")
    add_invoice(first, InvoiceIn("1", DAY, 61200), second, today=DAY, at=NOON, by=shop.lee)

    found = price_sheet(shop.establishment, DAY)

    assert [one.valuation.fifo.cents for one in found.stock] == [0]
    assert [why for _, why in found.unpriced] == ["its invoice names one total for several deliveries"] * 2


def test_one_total_for_two_refrigerants_prices_neither(shop: Shop) -> None:
    delivery = receive(shop, LineIn(shop.can12, 2, 2), LineIn(shop.can8, 2, 2))
    invoiced(shop, delivery, 9000)

    found = price_sheet(shop.establishment, DAY)

    assert [(one.valuation.fifo.cents, one.valuation.fifo.priced) for one in found.stock] == [(0, ZERO)] * 2
    assert [why for _, why in found.unpriced] == ["its invoice names one total for several refrigerants"]
