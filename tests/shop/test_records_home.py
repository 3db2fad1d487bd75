"""Records: the links of an owner's home place."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from tests.conftest import SignOn
from tests.factories import Shop


@pytest.mark.parametrize("who", ["lee", "dev", "marta"])
def test_records_lead_to_every_kind_of_record(shop: Shop, sign_on: SignOn, who: str) -> None:
    page = sign_on(getattr(shop, who)).get("/records/").content.decode()

    for name in (
        "people:list",
        "equipment:list",
        "papers:list",
        "book:list",
        "deliveries:list",
        "counts:list",
    ):
        assert f'href="{reverse(name)}' in page
    assert (f'href="{reverse("reports:list")}' in page) == (who != "dev")  # a technician may not open them


def test_the_set_up_is_shown_to_the_owner_only(shop: Shop, lee: Client, marta: Client) -> None:
    assert "Shop set-up" not in lee.get("/records/").content.decode()
    assert "Shop set-up" in marta.get("/records/").content.decode()
