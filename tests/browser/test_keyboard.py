"""The keyboard alone, at the bay PC and on a phone with a scanner."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from compliance.models import CanTicket
from tests.browser.conftest import DESK, Enter
from tests.compliance.work import Bay, Moment
from tests.factories import PASSWORD, Shop, cans_of, receive

pytestmark = pytest.mark.browser

SMALL = {"viewport": {"width": 390, "height": 844}}
# Where the focus is: its words, whether it is outlined, and how it lies against the bar of places and the window.
FOCUS = """() => {
  const at = document.activeElement, bar = document.querySelector(".places"), box = at.getBoundingClientRect();
  if (at === document.body) return null;
  const shown = at.matches("input[type=hidden]") ? null : getComputedStyle(at);
  const fixed = bar && getComputedStyle(bar).position === "fixed" && !bar.contains(at);
  return {
    words: (at.innerText || at.name || at.id).trim(),
    outlined: shown.outlineStyle !== "none" && parseFloat(shown.outlineWidth) >= 2,
    above: !fixed || box.bottom <= bar.getBoundingClientRect().top,
    inside: box.top >= 0 && box.bottom <= innerHeight && box.left >= 0 && box.right <= innerWidth,
  };
}"""


def focus(page: Page) -> dict[str, Any]:
    found: dict[str, Any] | None = page.evaluate(FOCUS)
    return found or {}


def tab_to(page: Page, words: str) -> None:
    """Tab on until the focus is on what has these words; everything on the way can be seen."""
    for _ in range(60):
        page.keyboard.press("Tab")
        at = focus(page)
        assert at.get("outlined", True), at
        if at.get("words", "").startswith(words):
            return
    pytest.fail(f"Tab never came to {words!r}")


@pytest.mark.parametrize("looks", [DESK, SMALL], ids=["desk", "phone"])
def test_the_keyboard_alone_leads_from_the_sign_on_to_the_charge(
    shop: Shop, enter: Enter, looks: dict[str, Any]
) -> None:
    receive(shop)
    Bay.check_in(shop).up_to_charge()
    page = enter(**looks)
    page.goto("/sign-on/")
    keys = page.keyboard

    keys.type("dev")  # the focus is on the name already
    keys.press("Tab")
    keys.type(PASSWORD)
    keys.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Today")
    for words, heading in (("Bay", "Bay"), ("Carry on", "J24-0001"), ("Carry on: Charge", "Charge")):
        tab_to(page, words)
        keys.press("Enter")
        expect(page.get_by_role("heading", level=1)).to_contain_text(heading)

    expect(page).to_have_url("/bay/J24-0001/charge/")


def test_the_keyboard_alone_finishes_a_job(shop: Shop, enter: Enter) -> None:
    """From the second can to the certificate, without a mouse or a finger."""
    cans = cans_of(receive(shop))
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.weigh(cans[1], "464", Moment.BEFORE)
    page = enter(shop.dev, **DESK)
    page.goto("/bay/J24-0001/charge/")
    keys = page.keyboard

    tab_to(page, "reading")
    keys.type("293")
    tab_to(page, "Keep")
    keys.press("Enter")
    expect(page.locator("main")).to_contain_text("ticket 6, K-0002, 293 g")
    tab_to(page, "The charge is in")
    keys.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Final readings")
    tab_to(page, "vent")
    keys.type("44")
    tab_to(page, "caps_on")
    keys.press("Space")
    tab_to(page, "Done")
    keys.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("J24-0001")
    tab_to(page, "Close the job")
    keys.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Close J24-0001")
    tab_to(page, "Sign and close")
    keys.press("Enter")

    expect(page.get_by_role("heading", level=1)).to_contain_text("C24-0001")


def test_the_focus_is_never_under_the_bar_of_places(shop: Shop, enter: Enter) -> None:
    cans = cans_of(receive(shop))
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    page = enter(shop.dev, **SMALL)
    page.goto("/bay/J24-0001/charge/")
    seen: list[dict[str, Any]] = []

    for key in ("Tab", "Shift+Tab"):
        for _ in range(60):
            page.keyboard.press(key)
            at = focus(page)
            if not at:
                break
            seen.append(at)

    assert len(seen) > 30
    assert [at for at in seen if not (at["outlined"] and at["above"] and at["inside"])] == []


def test_a_scanner_that_ends_with_enter_moves_on_and_sends_nothing(shop: Shop, enter: Enter) -> None:
    receive(shop)
    Bay.check_in(shop).up_to_charge()
    page = enter(shop.dev)
    page.goto("/bay/J24-0001/charge/")

    page.locator("#id_container").fill("")
    page.keyboard.type("K-0002")
    page.keyboard.press("Enter")

    expect(page.locator("#id_reading")).to_be_focused()
    expect(page.locator("#id_container")).to_have_value("K-0002")
    assert not CanTicket.objects.exists()
