"""The shared bay PC: two taps and a PIN, one scan of a badge, and a lock that comes by itself."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import FloatRect, Locator, Page, expect

from inventory.models import WeighTicket
from shop.device import STATION
from shop.models import Person
from tests.browser.conftest import DESK, PHONE, Enter
from tests.browser.hands import Hands
from tests.browser.test_every_page import INKS, PAPERS, colour, contrast, faults_of
from tests.compliance.work import Bay
from tests.factories import Shop
from tests.shop.bay_pc import PIN, WRONG, give_badge, give_pin, make_bay_pc

pytestmark = pytest.mark.browser

WEIGH = "/containers/RC-02/weigh/"
BOTH = pytest.mark.parametrize("looks", [DESK, PHONE], ids=["desk", "phone"])
HIGH_CONTRAST = 7.0  # WCAG 2.2, 1.4.6 Contrast (Enhanced)


@pytest.fixture
def token(shop: Shop) -> str:
    give_pin(shop.dev)
    give_pin(shop.rosa, "9142")
    return make_bay_pc(shop)[1]


def stand_at(enter: Enter, token: str, person: Person | None = None, **looks: Any) -> Hands:
    page = enter(person, **looks)
    page.goto("/words/")
    page.context.add_cookies([{"name": STATION, "value": token, "url": page.evaluate("origin")}])
    return Hands(page, touch=bool(looks.get("has_touch")))


def type_pin(hands: Hands, pin: str = PIN) -> None:
    for digit in pin:
        hands.press(digit)
    hands.press("Sign on")


def box_of(what: Locator) -> FloatRect:
    box = what.bounding_box()
    assert box is not None
    return box


def name_in_frame(page: Page) -> Locator:
    return page.locator(".who .name")


@BOTH
def test_two_taps_and_the_pin_lead_to_the_page_that_was_wanted(
    shop: Shop, token: str, enter: Enter, looks: dict[str, Any]
) -> None:
    dev = stand_at(enter, token, **looks)
    dev.page.goto("/bay/")

    dev.follow("Dev Larkin")
    type_pin(dev)

    expect(dev.page).to_have_url("/bay/")
    expect(name_in_frame(dev.page)).to_contain_text("Dev")


def test_names_and_digits_are_big_and_apart(shop: Shop, token: str, enter: Enter) -> None:
    dev = stand_at(enter, token, **PHONE)
    dev.page.goto("/sign-on/")
    first, second = (box_of(one) for one in dev.main.locator(".names a").all())
    assert min(first["height"], second["height"]) >= 64
    assert second["y"] - first["y"] - first["height"] >= 12

    dev.follow("Dev Larkin")
    expect(dev.main.locator(".keypad button")).to_have_count(12)
    expect(dev.main.locator(".keypad button").last).to_be_visible()
    keys = [box_of(one) for one in dev.main.locator(".keypad button").all()]

    assert min(key["height"] for key in keys) >= 64
    assert keys[1]["x"] - keys[0]["x"] - keys[0]["width"] >= 12
    assert keys[3]["y"] - keys[0]["y"] - keys[0]["height"] >= 12


def test_the_keypad_clears_and_a_wrong_pin_is_told(shop: Shop, token: str, enter: Enter) -> None:
    dev = stand_at(enter, token)
    dev.page.goto(f"/sign-on/{shop.dev.pk}/")
    dev.press("9")
    dev.press("Clear")

    type_pin(dev, WRONG)

    dev.sees("That PIN does not fit. Type it again.")
    dev.page.keyboard.type(PIN)  # the field has the focus
    dev.page.keyboard.press("Enter")
    dev.is_at("Today")


def test_without_scripts_the_pin_is_typed_into_its_field(shop: Shop, token: str, enter: Enter) -> None:
    dev = stand_at(enter, token, **DESK, java_script_enabled=False)
    dev.page.goto("/bay/")
    dev.follow("Dev Larkin")
    expect(dev.main.locator(".keypad")).to_be_hidden()

    dev.type_in(pin=PIN)
    dev.press("Sign on")

    expect(dev.page).to_have_url("/bay/")


@BOTH
def test_one_scan_signs_on(shop: Shop, token: str, enter: Enter, looks: dict[str, Any]) -> None:
    code = give_badge(shop.rosa)
    rosa = stand_at(enter, token, **looks)
    rosa.page.goto("/bay/")
    expect(rosa.field("badge")).to_be_focused()

    rosa.page.keyboard.type(code)
    rosa.page.keyboard.press("Enter")

    expect(rosa.page).to_have_url("/bay/")
    expect(name_in_frame(rosa.page)).to_contain_text("Rosa")


def test_the_owner_makes_the_station_with_one_tap_and_everybody_a_badge(shop: Shop, enter: Enter) -> None:
    marta = Hands(enter(shop.marta))
    marta.page.goto("/device/")
    marta.press("Make this a shared bay station")
    marta.sees("This device is the shared station Bay PC now.")

    marta.follow("Make a badge")
    marta.press("Make the badge")

    marta.sees("This is shown once.")
    code = marta.main.locator(".badge .code").inner_text()
    expect(marta.main.get_by_role("img", name="The badge's code, for a reader")).to_be_visible()
    assert faults_of(marta.page) == []
    marta.page.get_by_role("button", name="Lock").click()
    expect(marta.field("badge")).to_be_focused()
    marta.page.keyboard.type(code)
    marta.page.keyboard.press("Enter")
    expect(name_in_frame(marta.page)).to_contain_text("Marta")


def test_the_station_locks_by_itself_and_the_next_one_sees_the_same_page(
    shop: Shop, token: str, enter: Enter
) -> None:
    dev = stand_at(enter, token, shop.dev)
    dev.page.clock.install()
    dev.page.goto(WEIGH)
    dev.page.clock.fast_forward("04:40")
    expect(dev.page).to_have_url(WEIGH)

    dev.page.clock.fast_forward("00:20")

    expect(dev.page).to_have_url(f"/sign-on/?next={WEIGH}")
    dev.sees("Locked at ")
    dev.follow("Rosa Tamayo")
    type_pin(dev, "9142")
    expect(dev.page).to_have_url(WEIGH)
    expect(name_in_frame(dev.page)).to_contain_text("Rosa")


def test_a_computer_that_slept_locks_as_it_wakes(shop: Shop, token: str, enter: Enter) -> None:
    dev = stand_at(enter, token, shop.dev)
    dev.page.goto(WEIGH)

    dev.page.evaluate("""() => {
      const hour = Date.now() + 3600 * 1000;
      Date.now = () => hour;
      document.dispatchEvent(new Event("visibilitychange"));
    }""")

    expect(dev.page).to_have_url(f"/sign-on/?next={WEIGH}")


KEEPER = """document.addEventListener("tarebook:lock", (event) => {
  event.detail.waits.push(new Promise((done, failed) => {
    localStorage.setItem("draft", document.querySelector("main [name=reading]").value);
    %s
  }));
})"""


@pytest.mark.parametrize(
    ("how", "kept"), [("done()", True), ("failed(new Error('no signal'))", False), ("", False)]
)
def test_before_it_locks_other_scripts_keep_what_was_typed(
    shop: Shop, token: str, enter: Enter, how: str, kept: bool
) -> None:
    """The third keeper never ends; the lock does not wait for it longer than two seconds."""
    dev = stand_at(enter, token, shop.dev)
    dev.page.goto(WEIGH)
    dev.page.evaluate(KEEPER % how)
    dev.type_in(reading="7900")

    dev.page.get_by_role("button", name="Lock").click()

    expect(dev.page).to_have_url(f"/sign-on/?next={WEIGH}")
    assert dev.page.evaluate("localStorage.getItem('draft')") == "7900"
    words = expect(dev.main.get_by_text("What was typed on this page is kept."))
    words.to_be_visible() if kept else words.to_be_hidden()
    assert not WeighTicket.objects.exists()


def test_a_tab_in_use_keeps_the_other_one_open(shop: Shop, token: str, enter: Enter) -> None:
    dev = stand_at(enter, token, shop.dev)
    dev.page.clock.install()
    dev.page.goto(WEIGH)
    dev.page.clock.fast_forward("04:00")
    dev.page.evaluate("localStorage.setItem('tarebook:seen', String(Date.now()))")  # as a second tab does
    dev.page.clock.fast_forward("03:00")

    expect(dev.page).to_have_url(WEIGH)
    dev.page.clock.fast_forward("02:00")
    expect(dev.page).to_have_url(f"/sign-on/?next={WEIGH}")


def test_the_pages_of_the_station_have_no_fault(shop: Shop, token: str, enter: Enter) -> None:
    page = stand_at(enter, token).page
    faults = []
    for path in ("/sign-on/", f"/sign-on/{shop.dev.pk}/", "/sign-on/password/", "/device/"):
        page.goto(path)
        faults += faults_of(page)
    page = stand_at(enter, token, shop.marta).page
    for path in (WEIGH, "/device/", "/device/pin/", "/device/badge/", "/device/language/"):
        page.goto(path)
        faults += faults_of(page)

    assert faults == []


# --- This device


@BOTH
def test_every_bay_page_shows_whose_hands_these_are(shop: Shop, enter: Enter, looks: dict[str, Any]) -> None:
    Bay.check_in(shop).up_to_charge()
    page = enter(shop.dev, **looks)
    page.goto("/bay/J24-0001/charge/")
    name = name_in_frame(page)

    expect(name).to_be_in_viewport()
    expect(name).to_contain_text("Dev")
    size, weight = name.evaluate(
        "(one) => [getComputedStyle(one).fontSize, getComputedStyle(one).fontWeight]"
    )
    assert float(size.removesuffix("px")) >= 24
    assert int(weight) >= 700


def test_a_tap_in_the_bay_changes_the_look_and_stays_on_the_page(shop: Shop, enter: Enter) -> None:
    dev = Hands(enter(shop.dev, **PHONE), touch=True)
    dev.page.goto("/device/")
    dev.choose("Left")
    dev.press("Keep it on this device")
    expect(dev.page.locator("html")).to_have_attribute("data-thumb", "left")
    dev.page.goto(WEIGH)

    dev.page.get_by_role("button", name="Bright door").tap()

    expect(dev.page).to_have_url(WEIGH)
    expect(dev.page.locator("html")).to_have_attribute("data-theme", "bright")
    dev.page.get_by_role("button", name="Dark bay").tap()
    expect(dev.page.locator("html")).to_have_attribute("data-theme", "dark")
    expect(dev.page.locator("html")).to_have_attribute("data-thumb", "left")


def test_at_the_bright_door_every_ink_stands_out(shop: Shop, enter: Enter) -> None:
    page = enter(color_scheme="dark")
    page.goto("/sign-on/")
    page.get_by_role("button", name="Bright door").click()
    ratios = {
        (ink, paper): contrast(colour(page, ink), colour(page, paper)) for paper in PAPERS for ink in INKS
    }

    assert {pair: ratio for pair, ratio in ratios.items() if ratio < HIGH_CONTRAST} == {}


@pytest.mark.parametrize("side", ["right", "left"])
def test_what_the_thumb_reaches_for_lies_on_its_side(shop: Shop, token: str, enter: Enter, side: str) -> None:
    tablet = {"viewport": {"width": 1024, "height": 768}, "has_touch": True, "is_mobile": True}
    dev = stand_at(enter, token, shop.dev, **tablet)
    dev.page.goto("/device/")
    dev.choose(side.capitalize())
    dev.press("Keep it on this device")
    dev.sees("Kept on this device.")
    dev.page.goto(WEIGH)
    form = box_of(dev.main.locator("form"))
    button = box_of(dev.main.locator(".thumb .main"))

    left = button["x"] - form["x"]
    right = form["x"] + form["width"] - button["x"] - button["width"]
    assert (left < 1) is (side == "left")
    assert (right < 1) is (side == "right")
