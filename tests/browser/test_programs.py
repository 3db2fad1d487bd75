"""The owner gives a program a key, reads it once, and takes it back."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE, Enter
from tests.browser.hands import Hands
from tests.factories import Shop

pytestmark = pytest.mark.browser


def test_marta_makes_a_key_uses_it_and_takes_it_back(shop: Shop, enter: Enter) -> None:
    marta = Hands(enter(shop.marta, **PHONE), touch=True)
    marta.page.goto("/records/")
    marta.follow("Programs")
    marta.follow("A new key")
    marta.page.get_by_label("Program or device").fill("Label tablet")
    marta.page.get_by_label("Read the refrigerant book").check()
    marta.page.get_by_role("button", name="Make the key").click()
    marta.sees("This is shown once.")
    key = marta.page.locator(".key").inner_text()
    shown = {"Authorization": f"Bearer {key}", "Cookie": ""}
    assert marta.page.request.get("/api/book/", headers=shown).status == 200
    assert marta.page.request.get("/api/people/", headers=shown).status == 403
    marta.follow("It is in the program")
    marta.follow("Take it back")
    marta.page.get_by_role("button", name="Take it back").click()
    expect(marta.main).to_contain_text("Taken back")
    assert marta.page.request.get("/api/book/", headers=shown).status == 401
