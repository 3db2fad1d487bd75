"""Invoices of deliveries: lines, tax, deposits, several of them. No weight ever moves."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from inventory.core.money import Per
from inventory.models import Delivery, Deposit, Invoice, Movement
from inventory.queries import creditable_cents, deposits_due, deposits_out, invoices_of
from inventory.services import (
    CreditIn,
    DepositIn,
    InvoiceIn,
    LineIn,
    PriceIn,
    add_deposit_back,
    add_invoice,
    merge_deliveries,
    put_invoice_right,
)
from shop.core.findings import Refused
from tests.factories import DAY, NOON, Shop, make_shop, receive
from tests.inventory.test_at_once import at_once
from tests.pages import errors, send, text


@pytest.fixture
def delivery(shop: Shop) -> Delivery:
    return receive(shop, LineIn(shop.can12, 36, 35, damaged=1))


def bill(delivery: Delivery, total: int, price: int, cans: int = 36, **rest: Any) -> InvoiceIn:
    prices = (PriceIn(delivery.lines.get(), cans, price, Per.CAN),)
    return InvoiceIn(rest.pop("number", "550917"), rest.pop("dated", DAY), total, prices=prices, **rest)


def put(shop: Shop, delivery: Delivery, invoice: InvoiceIn, *also: Delivery) -> Invoice:
    return add_invoice(delivery, invoice, *also, today=DAY, at=NOON, by=shop.lee)


def test_a_bill_with_the_refused_can_in_it_says_so(shop: Shop, delivery: Delivery) -> None:
    # 35 x 17.10 = 598.50; + tax 43.78 = 642.28; the bill says 659.38, one can more.
    put(shop, delivery, bill(delivery, 65938, 1710, cans=35, tax_cents=4378))
    [one] = invoices_of(delivery)

    assert one.off == "The total is off by exactly one can's price: did the bill include the refused can?"


def test_a_price_put_right_keeps_the_old_one_and_moves_no_weight(shop: Shop, delivery: Delivery) -> None:
    before = list(Movement.objects.values_list("pk", "mass"))
    old = put(shop, delivery, bill(delivery, 738720, 20520))
    new = put_invoice_right(old, bill(delivery, 61560, 1710), [delivery], today=DAY, at=NOON, by=shop.marta)
    [one] = invoices_of(delivery)

    assert (one.invoice, one.earlier, one.off) == (new, (old,), "")
    assert old.prices.get().cents == 20520
    assert list(Movement.objects.values_list("pk", "mass")) == before


def test_two_people_do_not_put_one_invoice_right_side_by_side(shop: Shop, delivery: Delivery) -> None:
    old = put(shop, delivery, bill(delivery, 61560, 1710))
    put_invoice_right(old, bill(delivery, 61561, 1710), [delivery], today=DAY, at=NOON, by=shop.lee)

    with pytest.raises(Refused, match="put 550917 right meanwhile"):
        put_invoice_right(old, bill(delivery, 61562, 1710), [delivery], today=DAY, at=NOON, by=shop.marta)


def test_one_invoice_bills_two_deliveries(shop: Shop, delivery: Delivery) -> None:
    second = receive(shop, LineIn(shop.can8, 12, 12), slip="88413")
    prices = (PriceIn(delivery.lines.get(), 36, 1700), PriceIn(second.lines.get(), 12, 4000))
    put(shop, delivery, InvoiceIn("550917", DAY, 61200 + 48000, prices=prices), second)

    assert [one.others for one in invoices_of(second)] == [(delivery,)]
    assert creditable_cents(delivery) == creditable_cents(second) == 109200


def test_two_invoices_bill_one_delivery(shop: Shop, delivery: Delivery) -> None:
    put(shop, delivery, bill(delivery, 40000, 1700))
    put(shop, delivery, InvoiceIn("550918", DAY, 21200))

    assert [one.invoice.number for one in invoices_of(delivery)] == ["550917", "550918"]
    assert creditable_cents(delivery) == 61200


def test_an_invoice_number_is_on_file_once_for_a_supplier(shop: Shop, delivery: Delivery) -> None:
    put(shop, delivery, bill(delivery, 61560, 1710))
    second = receive(shop, slip="88413")

    with pytest.raises(Refused, match=f"550917 is on file for {delivery.number}. Open it to put it right"):
        put(shop, second, InvoiceIn("550917", DAY, 100))


def test_an_invoice_typed_by_two_people_at_once_is_on_file_once(live_db: None) -> None:
    shop = make_shop()
    delivery = receive(shop)

    answers = at_once(*[lambda: put(shop, delivery, InvoiceIn("550917", DAY, 100))] * 2)

    assert sorted(type(answer).__name__ for answer in answers) == ["Invoice", "Refused"]


def test_a_price_is_compared_with_the_one_before(shop: Shop, delivery: Delivery) -> None:
    earlier = receive(shop, slip="88000", on=DAY - timedelta(days=30))
    put(shop, earlier, bill(earlier, 20280, 1690, cans=12, number="540000", dated=DAY - timedelta(days=30)))
    put(shop, delivery, bill(delivery, 66312, 1842))
    [line] = invoices_of(delivery)[0].prices

    # 18.42 / 16.90 = 1.09; 18.42 / 340 g = $0.0542; 340 g = 11.993 oz, $1.536
    assert (line.per_can, line.change, line.per_gram, line.per_ounce) == (1842, 9, "$0.054", "$1.54")


def test_a_deposit_is_out_until_it_comes_back(shop: Shop, delivery: Delivery) -> None:
    deposits = (DepositIn(Deposit.Kind.DEPOSIT, 1200, DAY), DepositIn(Deposit.Kind.CORE, 300))
    put(shop, delivery, InvoiceIn("550917", DAY, 63060, deposits=deposits))
    assert (deposits_out(delivery), len(deposits_due(shop.establishment, up_to=DAY))) == (1500, 1)
    assert not deposits_due(shop.establishment, up_to=DAY - timedelta(days=1))

    def back(cents: int) -> None:
        add_deposit_back(delivery, CreditIn("CR-1", DAY, cents), today=DAY, at=NOON, by=shop.lee)

    with pytest.raises(Refused, match="not what is out in deposits"):
        back(1501)
    back(1500)
    assert deposits_out(delivery) == 0
    assert not deposits_due(shop.establishment, up_to=DAY)


def test_the_invoice_of_a_paper_that_was_typed_twice_is_found_from_the_first(
    shop: Shop, delivery: Delivery
) -> None:
    again = receive(shop, LineIn(shop.can12, 36, 35, damaged=1), slip="550917")
    put(shop, again, InvoiceIn("550917", DAY, 61560))
    merge_deliveries(delivery, again, today=DAY, at=NOON, by=shop.lee)

    assert [one.invoice.number for one in invoices_of(delivery)] == ["550917"]
    assert creditable_cents(delivery) == 61560


# --- The pages


def test_a_bill_is_typed_with_lines_and_says_whether_it_adds_up(
    shop: Shop, lee: Client, delivery: Delivery
) -> None:
    line = delivery.lines.get().pk
    url = reverse("deliveries:invoice", args=[delivery.number])
    typed = {
        "number": "550917",
        "dated": DAY.isoformat(),
        "total": "668.18",
        "tax": "42.58",
        "kind_0": "core",
        "amount_0": "10",
        "due_0": "2024-05-01",
        f"cans_{line}": "36",
        f"price_{line}": "205.20",
        f"per_{line}": "case",
    }
    page = text(lee.get(send(lee, url, **typed)["Location"]))

    # 205.20 x 3 = 615.60; + 42.58 + 10.00 = 668.18
    assert "lines $615.60 + tax $42.58 + deposit $10.00 − credit $0.00 ■ It adds up" in page
    assert "Core charge $10.00, due back by May 1 2024" in page
    assert "$17.10 a can, $0.050 a gram, $1.43 an ounce." in page


def test_a_second_delivery_is_added_to_the_bill_on_its_page(
    shop: Shop, lee: Client, delivery: Delivery
) -> None:
    second = receive(shop, slip="88413")
    url = reverse("deliveries:invoice", args=[delivery.number]) + f"?also={second.number}"
    assert f"It bills {delivery.number} (slip 88412), {second.number} (slip 88413)." in text(lee.get(url))
    send(lee, url, number="550917", dated=DAY.isoformat(), total="900.00")

    assert set(Invoice.objects.get().deliveries.all()) == {delivery, second}


@pytest.mark.parametrize(
    ("field", "typed"),
    [("amount_0", {"kind_0": "deposit"}), ("tax", {"tax": "-1"}), ("credit", {"credit": "x"})],
)
def test_what_is_wrong_with_a_part_stands_on_its_field(
    shop: Shop, lee: Client, delivery: Delivery, field: str, typed: dict[str, str]
) -> None:
    url = reverse("deliveries:invoice", args=[delivery.number])
    right = {"number": "550917", "dated": DAY.isoformat(), "total": "642.18"}

    assert errors(send(lee, url, **right, **typed), field)
    assert not Invoice.objects.exists()
