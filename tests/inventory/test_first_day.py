"""The first day: nothing is in the cabinet, nobody is on the list of suppliers, and each page says where to begin."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from inventory.queries import how_far
from shop.services import end_authorisation, retire_equipment
from tests.conftest import SignOn
from tests.factories import DAY, NOON, SET_UP, Shop, make_establishment, make_owner
from tests.pages import text

SET_UP_END = date(2024, 3, 1)


@pytest.fixture
def otto(db: None, sign_on: SignOn) -> Client:
    """The owner of a shop that has nothing yet."""
    return sign_on(make_owner(make_establishment(), "Otto Binder"))


def test_an_empty_cabinet_says_what_to_do(otto: Client) -> None:
    assert "The cabinet is empty. Receive a delivery" in text(otto.get("/cabinet/"))


def test_an_empty_cabinet_has_nothing_to_count(otto: Client) -> None:
    assert "There is nothing to count." in text(otto.get("/counts/new/"))
    assert "No kind of can is on the list." in text(otto.get("/counts/opening/"))


def test_the_first_delivery_asks_for_a_supplier_first(otto: Client) -> None:
    assert "Add the one who brought the cans" in text(otto.get("/deliveries/new/"))


def test_todays_page_says_how_far_the_first_day_has_come(otto: Client) -> None:
    page = text(otto.get("/"))

    assert "Ready to work: 1 of 6 done. You can start jobs after step 3." in page
    assert "Federal: 40 CFR 82.34(a)(1), before paid work with refrigerant" in page
    assert 'href="/people/new/"' in otto.get("/").content.decode()


def test_it_goes_when_all_six_are_done_and_only_the_owner_sees_it(
    shop: Shop, marta: Client, lee: Client
) -> None:
    assert "First day" not in text(marta.get("/"))
    retire_equipment(shop.scale, last_day=SET_UP, why="sold", at=NOON, by=shop.marta)

    page = text(marta.get("/"))
    assert "Ready to work: 5 of 6 done. You can start jobs." in page
    assert "6. ○ Waiting The scale, its unit and its steps" in page
    assert "First day" not in text(lee.get("/"))


def test_a_technician_without_a_card_is_not_enough_to_start_jobs(shop: Shop) -> None:
    for person in (shop.dev, shop.rosa):
        running = person.authorisations.get()
        end_authorisation(running, last_day=SET_UP_END, may_sign_on=True, at=NOON, by=shop.marta)
    far = how_far(shop.establishment, DAY)

    assert far.next is not None
    assert far.next.step == "cards"
    assert far.sentence == "Ready to work: 5 of 6 done. You can start jobs after step 3."
