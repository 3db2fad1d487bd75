"""The refrigerant book, page by page."""

from __future__ import annotations

import pytest
from django.test import Client

from inventory.services import LineIn
from tests.conftest import SignOn
from tests.factories import Shop, make_establishment, make_owner, receive
from tests.pages import text


@pytest.mark.parametrize("who", ["lee", "dev", "marta"])
def test_an_empty_book_says_how_its_first_line_comes(shop: Shop, sign_on: SignOn, who: str) -> None:
    assert "The book is empty. The first line comes with a delivery" in text(
        sign_on(getattr(shop, who)).get("/book/")
    )


def test_a_line_says_where_mass_left_and_arrived_and_who_signed(shop: Shop, dev: Client) -> None:
    receive(shop, LineIn(shop.can12, 1, 1))

    assert (
        "Apr 2 2024 Received from Sample Parts Supply, slip 88412 R-134a"
        " supplier → to K-0001 received 340.0 g (12.0 oz) Lee"
    ) in text(dev.get("/book/"))


def test_the_book_turns_its_pages_without_losing_a_line(shop: Shop, dev: Client) -> None:
    receive(shop, LineIn(shop.can12, 120, 120))
    seen: list[int] = []
    url = "/book/"
    while url:
        shown = dev.get(url).context
        seen += [row.pk for row in shown["rows"]]
        url = f"/book/?before={shown['older']}" if shown["older"] else ""

    assert len(seen) == len(set(seen)) == 120
    assert seen == sorted(seen, reverse=True)


def test_exactly_one_page_has_no_older_one(shop: Shop, dev: Client) -> None:
    receive(shop, LineIn(shop.can12, 50, 50))

    assert dev.get("/book/").context["older"] is None


def test_the_book_is_read_by_refrigerant(shop: Shop, dev: Client) -> None:
    receive(shop, LineIn(shop.can12, 1, 1), LineIn(shop.can8, 1, 1))

    assert {row.refrigerant_id for row in dev.get("/book/", {"refrigerant": "R-1234yf"}).context["rows"]} == {
        "R-1234yf"
    }
    assert "No R-152a was ever moved." in text(dev.get("/book/", {"refrigerant": "R-152a"}))


@pytest.mark.parametrize(
    "words",
    [
        {"refrigerant": "R-12"},
        {"refrigerant": "\x00"},
        {"before": "-1"},
        {"before": "9" * 40},
        {"before": "x"},
    ],
)
def test_odd_questions_get_the_newest_page(shop: Shop, dev: Client, words: dict[str, str]) -> None:
    receive(shop, LineIn(shop.can12, 1, 1))

    assert len(dev.get("/book/", words).context["rows"]) == 1


def test_the_end_of_the_book_leads_back(shop: Shop, dev: Client) -> None:
    receive(shop, LineIn(shop.can12, 1, 1))

    assert "Nothing is older. Newest lines" in text(dev.get("/book/", {"before": "1"}))


def test_the_book_of_another_shop_is_not_shown(shop: Shop, sign_on: SignOn) -> None:
    receive(shop)
    other = sign_on(make_owner(make_establishment("Sample Garage"), "Otto Binder"))

    assert other.get("/book/").context["rows"] == []
