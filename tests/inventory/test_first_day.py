"""The first day: nothing is in the cabinet, nobody is on the list of suppliers, and each page says where to begin."""

from __future__ import annotations

import pytest
from django.test import Client

from tests.conftest import SignOn
from tests.factories import make_establishment, make_owner
from tests.pages import text


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
