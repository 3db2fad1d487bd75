"""Stock and its value on a page: grams of the book beside dollars of invoices, for office and owner."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from inventory.queries.prices import price_sheet
from shop.core.mass import grams, total
from tests.compliance.sheets.reading import sheet
from tests.conftest import SignOn
from tests.factories import DAY, Shop, book_of, make_establishment, make_owner
from tests.pages import text


def test_the_sheet_ties_dollars_to_grams_to_invoices(full: Shop, lee: Client) -> None:
    """A case of 4,080 g for $408.00: 10 cents a gram. 509 g left it, and the first can keeps 2 g more than its label
    said: the book says what is left, and the price is that times 10 cents."""
    found = price_sheet(full.establishment, DAY)
    in_cans = total(mass for code, mass in book_of(full).items() if code.startswith("K-"))
    r134a = next(one for one in found.stock if one.refrigerant == "R-134a")

    assert total(one.valuation.stock for one in found.stock) == in_cans
    assert r134a.valuation.stock - grams(2 * 340) == r134a.valuation.fifo.priced
    assert r134a.valuation.fifo.cents == round(r134a.valuation.fifo.priced.grams * 10)
    assert [(one.supplier, one.deliveries, one.cents) for one in found.purchases] == [
        ("Sample Parts Supply", 1, 40800)
    ]
    page = text(lee.get("/value/", {"day": str(DAY)}))
    assert "D24-0002" in page
    assert "no invoice on file" in page
    assert "Without a price: 680 g by first in, first out" in page


def test_an_earlier_day_has_the_stock_of_that_day(full: Shop) -> None:
    before = price_sheet(full.establishment, DAY - timedelta(days=60))
    march = price_sheet(full.establishment, DAY - timedelta(days=29))  # March 4: the delivery and the job

    assert before.stock == ()
    assert [(one.refrigerant, one.cans) for one in march.stock] == [("R-134a", 12)]
    assert march.recovered == (("R-134a", grams(210)),)


def test_the_sheet_leaves_as_csv(full: Shop, lee: Client) -> None:
    rows = sheet(lee, "/value.csv", day=str(DAY))

    methods = [row for row in rows if row["row"] in ("fifo", "average")]
    layers = [row for row in rows if row["row"] == "delivery" and row["refrigerant"] == "R-134a"]
    assert [row["delivery"] for row in layers] == ["D24-0001", "D24-0002"]
    assert (layers[0]["cost_dollars"], layers[1]["cost_dollars"]) == ("408.00", "")
    assert layers[1]["unpriced_g"] == "680"
    assert {row["row"] for row in methods if row["refrigerant"] == "R-1234yf"} == {"fifo", "average"}


@pytest.mark.parametrize("day", ["", "yesterday", "0001-01-01", "2024-13-40", "9" * 50, "\0"])
def test_a_day_that_cannot_be_gets_a_sentence(full: Shop, lee: Client, day: str) -> None:
    assert lee.get("/value/", {"day": day}).status_code == 200
    assert lee.get("/value.csv", {"day": day}).status_code == 404


def test_prices_are_for_the_office_and_the_owner(full: Shop, dev: Client, marta: Client) -> None:
    assert dev.get("/value/").status_code == dev.get("/value.csv").status_code == 403
    assert marta.get("/value/").status_code == 200


def test_another_shop_sees_no_price_of_ours(full: Shop, sign_on: SignOn) -> None:
    otis = make_owner(make_establishment("Red Mesa Auto"), "Otis Vale")

    page = text(sign_on(otis).get("/value/", {"day": str(DAY)}))

    assert "No can was in the book by that day." in page
    assert "408" not in page
