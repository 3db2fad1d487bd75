"""The cabinet: what is on hand, and the one thing to do next."""

from __future__ import annotations

import pytest
from django.test import Client

from inventory.models import Container
from inventory.queries import cylinder_room, in_the_cabinet, shelves, usable_cans
from inventory.services import LineIn, weigh
from shop.core.mass import Mass, Unit, grams
from shop.queries import rules_on
from tests.conftest import SignOn
from tests.factories import (
    DAY,
    NOON,
    Shop,
    cans_of,
    cylinder_holding,
    make_establishment,
    receive,
    ticket_in,
)
from tests.pages import text


@pytest.mark.parametrize("who", ["lee", "dev", "marta"])
def test_everyone_sees_what_is_on_hand_in_grams_and_ounces(shop: Shop, sign_on: SignOn, who: str) -> None:
    cans = cans_of(receive(shop, LineIn(shop.can12, 3, 3), LineIn(shop.can8, 2, 2)))
    weigh(cans[0], ticket_in(shop, "400"), at=NOON, by=shop.dev)
    page = text(sign_on(getattr(shop, who)).get("/cabinet/"))

    assert "R-134a In cans 1,020 g 36.0 oz 2 sealed, 1 open" in page
    assert "R-1234yf FLAMMABLE In cans 454 g 16.0 oz 2 sealed, 0 open" in page
    assert "Open cans: use these first K-0001 last 400 g 340 g by the book" in page


def test_a_technician_is_offered_nothing_that_would_be_refused(shop: Shop, dev: Client, lee: Client) -> None:
    page = dev.get("/cabinet/").content.decode()

    for url in ("/deliveries/new/", "/counts/new/", "/counts/opening/", "/cylinders/new/"):
        assert url not in page
    assert "/deliveries/new/" in lee.get("/cabinet/").content.decode()


def test_a_cylinder_shows_how_near_its_limit_it_is(shop: Shop, dev: Client) -> None:
    # Limit: 80 % of 26.2 lb = 20.96 lb. 19.5 lb is 93.03 % of it, told as 94 %: full is never told as less.
    cylinder_holding(shop, "RC-09", "19.5")
    page = text(dev.get("/cabinet/"))

    assert "Cylinder RC-09 is 94 % full. Get another one ready." in page
    assert "94 % of the limit" in page


def test_the_limit_of_a_cylinder_is_the_shop_s_rule_of_the_day(shop: Shop) -> None:
    cylinder = in_the_cabinet(shop.establishment).get(pk="RC-02")
    room = cylinder_room(cylinder, rules_on(shop.establishment, DAY))

    assert room.limit == Mass.of("20.96", Unit.LB)
    assert room.left == room.limit
    assert not room.is_nearly_full


def test_open_cans_are_used_first_then_the_oldest(shop: Shop) -> None:
    old = cans_of(receive(shop, LineIn(shop.can12, 2, 2), slip="1"))
    new = cans_of(receive(shop, LineIn(shop.can12, 1, 1), slip="2"))
    weigh(new[0], ticket_in(shop, "300"), at=NOON, by=shop.dev)

    order: list[Container] = list(usable_cans(shop.establishment, "R-134a"))
    assert [can.code for can in order] == [new[0].code, old[0].code, old[1].code]


def test_one_shop_does_not_see_the_shelf_of_another(shop: Shop) -> None:
    receive(shop)
    other = make_establishment("Sample Garage")

    assert shelves(other) == []
    assert shelves(shop.establishment)[1].in_cans == grams(12 * 340)


def test_the_cabinet_asks_the_database_few_questions(
    shop: Shop, dev: Client, django_assert_max_num_queries: object
) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    receive(shop, LineIn(shop.can12, 36, 36), LineIn(shop.can8, 24, 24))
    with CaptureQueriesContext(
        connection,
    ) as asked:
        dev.get("/cabinet/")

    assert len(asked) <= 8
