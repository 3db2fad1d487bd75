"""Hands that shake, signal that drops: what is sent twice is written once."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from compliance.models import CanTicket, Job
from tests.browser.conftest import DESK, Enter
from tests.browser.hands import Hands
from tests.compliance.work import Bay
from tests.factories import Shop, receive

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("script", [True, False])
def test_two_clicks_open_one_job(shop: Shop, enter: Enter, script: bool) -> None:
    page = enter(shop.dev, **DESK, java_script_enabled=script)
    page.goto("/bay/new/")
    dev = Hands(page)
    dev.type_in(plate="SMP-417", description="2014 sedan, blue", customer="Ines Calloway")
    dev.choose("blows warm")
    dev.main.get_by_label("Refrigerant on the label").select_option("R-134a")

    dev.main.get_by_role("button", name="Open the job sheet").dblclick()

    dev.is_at("Recovery")
    page.goto("/bay/")
    expect(page.get_by_role("link", name="Carry on")).to_have_count(1)
    assert Job.objects.count() == 1


def test_the_same_form_sent_from_two_tabs_writes_one_ticket(shop: Shop, enter: Enter) -> None:
    receive(shop)
    Bay.check_in(shop).up_to_charge()
    page = enter(shop.dev)
    tabs = [Hands(page), Hands(page.context.new_page())]
    for tab in tabs:
        tab.page.goto("/bay/J24-0001/charge/")
        tab.type_in(container="K-0001", reading="466")
    key = tabs[0].main.locator("[name=once]").first.input_value()
    tabs[1].main.locator("[name=once]").first.evaluate("(field, key) => { field.value = key; }", key)

    tabs[0].keep()
    tabs[0].sees("ticket 3, K-0001, 466 g")
    tabs[1].keep()

    tabs[1].sees("Already saved ", "; nothing was written twice.")
    assert CanTicket.objects.count() == 1
