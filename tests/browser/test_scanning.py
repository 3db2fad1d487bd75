"""Scanners are keyboards: fast, wherever the focus is, and with an Enter at the end that must send nothing."""

from __future__ import annotations

import time
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from compliance.models import CanTicket
from inventory.models import Container, LabelSheet
from inventory.services import weigh
from tests.browser.conftest import DESK, PHONE, Enter
from tests.browser.hands import Hands
from tests.compliance.work import Bay, Moment
from tests.core.rows import rows_of
from tests.factories import NOON, Shop, ticket_in

pytestmark = pytest.mark.browser

LABEL = "https://tarebook.example/containers/{}/"  # what the code of a label holds


@pytest.fixture
def bay(shop: Shop, cans: list[Container]) -> Bay:
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    return bay


def scan(page: Page, text: str, *, enters: int = 1) -> None:
    """A millisecond between two keys, and Enter; some scanners end with two.

    Every key carries its own time, so that a busy machine does not make the scanner slow.
    """
    page.wait_for_timeout(250)  # a hand takes its time to reach for the scanner
    keyboard, now = page.context.new_cdp_session(page), time.time()
    enter = {"key": "Enter", "code": "Enter", "windowsVirtualKeyCode": 13, "text": "\r"}
    for ms, key in enumerate([{"key": one, "text": one} for one in text] + [enter] * enters):
        for kind in ("keyDown", "keyUp"):
            keyboard.send("Input.dispatchKeyEvent", {"type": kind, "timestamp": now + ms / 1000, **key})
    keyboard.detach()


def focused(page: Page) -> str:
    name: str = page.evaluate("document.activeElement.name || document.activeElement.textContent.trim()")
    return name


def test_every_number_is_read_as_the_table_says(shop: Shop, enter: Enter) -> None:
    page = enter(shop.dev)
    page.goto("/")
    rows = rows_of("scanned_numbers.csv")

    read = page.evaluate("rows => rows.map((one) => tarebook.numberIn(one))", [row["typed"] for row in rows])

    assert read == [row["number"] for row in rows]


@pytest.mark.parametrize("looks", [DESK, PHONE], ids=["desk", "phone"])
def test_dev_scans_the_can_and_goes_on_with_its_weight(bay: Bay, enter: Enter, looks: dict[str, Any]) -> None:
    """The page offers K-0001. The scan takes its place, is not put behind it, and the weight is next."""
    page = enter(bay.by, **looks)
    page.goto("/bay/J24-0001/charge/")
    dev = Hands(page)
    dev.field("container").focus()

    scan(page, LABEL.format("K-0003"), enters=2)

    expect(dev.field("container")).to_have_value("K-0003")
    assert focused(page) == "reading"
    page.keyboard.type("466")
    assert not CanTicket.objects.exists()  # no Enter sent anything
    dev.keep()
    dev.sees("ticket 3, K-0003, 466 g")


def test_a_strange_can_is_said_and_the_next_scan_takes_its_place(bay: Bay, enter: Enter) -> None:
    page = enter(bay.by)
    page.goto("/bay/J24-0001/charge/")
    dev = Hands(page)
    dev.field("reading").fill("466")
    dev.field("container").focus()

    scan(page, "K-9999")

    dev.sees("There is no can or cylinder K-9999 in the book. Read its number again.")
    assert focused(page) == "container"
    assert page.evaluate("getSelection().toString()") == "K-9999"
    scan(page, "K-0002")
    expect(dev.field("container")).to_have_value("K-0002")
    expect(dev.main.locator(".strange")).to_be_empty()


def test_a_can_scanned_into_the_weight_is_the_can(bay: Bay, enter: Enter) -> None:
    page = enter(bay.by)
    page.goto("/bay/J24-0001/charge/")
    dev = Hands(page)
    dev.field("reading").fill("466")

    scan(page, LABEL.format("K-0004"))

    expect(dev.field("container")).to_have_value("K-0004")
    expect(dev.field("reading")).to_have_value("466")


def test_a_can_scanned_while_a_button_has_the_focus_presses_nothing(bay: Bay, enter: Enter) -> None:
    page = enter(bay.by)
    page.goto("/bay/J24-0001/charge/")
    dev = Hands(page)
    dev.field("reading").fill("466")
    dev.main.locator("#weigh button.main").focus()

    scan(page, "k-0005")

    expect(dev.field("container")).to_have_value("K-0005")
    expect(page).to_have_url("/bay/J24-0001/charge/")
    assert not CanTicket.objects.exists()


def test_a_scan_while_a_choice_has_the_focus_sends_nothing(bay: Bay, enter: Enter) -> None:
    page = enter(bay.by)
    page.goto("/bay/J24-0001/charge/")
    dev = Hands(page)
    dev.field("reading").fill("466")
    dev.choose("After, it comes off the car")

    scan(page, "K-0006")

    expect(dev.field("container")).to_have_value("K-0006")
    assert not CanTicket.objects.exists()


def test_one_scan_refiles_no_can(bay: Bay, cans: list[Container], enter: Enter) -> None:
    """The page has one field, so that Enter would send it anywhere else."""
    bay.weigh(cans[0], "466", Moment.BEFORE)
    page = enter(bay.by)
    page.goto("/bay/J24-0001/charge/can/K-0001/other/")
    dev = Hands(page)
    dev.field("container").focus()

    scan(page, "K-0002", enters=2)

    assert focused(page) == "Move the tickets"
    assert CanTicket.objects.get().ticket.container_id == "K-0001"


def test_a_cylinder_is_scanned_into_its_list(shop: Shop, enter: Enter) -> None:
    bay = Bay.check_in(shop)
    page = enter(bay.by)
    page.goto("/bay/J24-0001/recovery/")
    dev = Hands(page)
    box = dev.field("cylinder")
    box.focus()

    scan(page, LABEL.format("RC-02"))
    assert box.evaluate("list => list.selectedOptions[0].text").startswith("RC-02")
    assert focused(page) == "before"
    box.focus()
    scan(page, "RC-77")

    assert box.evaluate("list => list.selectedOptions[0].text").startswith(
        "RC-02"
    )  # typing ahead changed nothing
    expect(page).to_have_url("/bay/J24-0001/recovery/")


def test_lee_scans_labels_to_print_one_can_after_the_other(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    page = enter(shop.lee)
    page.goto("/labels/new/")
    lee = Hands(page)
    page.evaluate("document.activeElement.blur()")

    scan(page, "K-0001")
    scan(page, LABEL.format("K-0002"))
    scan(page, "K-8888")
    lee.sees("There is no can or cylinder K-8888 in the book.")
    scan(page, "K-0003")

    words = lee.field("containers").input_value().split()
    assert [word[-7:].strip("/") for word in words] == ["K-0001", "K-0002", "K-0003"]
    assert not LabelSheet.objects.exists()


def test_two_swapped_cans_are_scanned_by_their_labels(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    page = enter(shop.dev)
    page.goto("/containers/swapped/")
    dev = Hands(page)
    dev.field("heavier").focus()

    scan(page, LABEL.format("K-0002"))
    assert focused(page) == "heavier_reading"
    dev.field("lighter").focus()
    scan(page, "2")

    expect(dev.field("heavier")).to_have_value("K-0002")
    expect(dev.field("lighter")).to_have_value("K-0002")


def test_lee_counts_with_the_scanner_wherever_the_focus_is(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    weigh(cans[0], ticket_in(shop, "466"), at=NOON, by=shop.dev)
    page = enter(shop.lee)
    page.goto("/counts/new/?refrigerant=R-134a")
    lee = Hands(page)

    scan(page, "K-0003")
    lee.sees("K-0003: 1 / 11")
    scan(page, LABEL.format("K-0001"))
    assert focused(page) == "K-0001"
    page.keyboard.type("466")
    scan(page, "K-0004")  # while the weight has the focus
    lee.sees("K-0004: 2 / 11")

    expect(lee.main.locator("[name='K-0001']")).to_have_value("466")


def test_a_can_scanned_on_a_page_that_asks_for_nothing_opens_its_own(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    page = enter(shop.dev)
    page.goto("/cabinet/")

    scan(page, LABEL.format("K-0007"))

    expect(page).to_have_url("/containers/K-0007/")
    page.locator("#find").focus()
    scan(page, LABEL.format("RC-02"))
    expect(page).to_have_url("/containers/RC-02/")


def test_without_scripts_a_label_is_understood_by_the_page_that_gets_it(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    page = enter(shop.dev, **{**PHONE, "java_script_enabled": False})
    page.goto("/containers/swapped/")
    dev = Hands(page)
    expect(dev.main.locator("button.camera").first).to_be_hidden()
    dev.type_in(
        heavier=LABEL.format("K-0001"),
        heavier_reading="466",
        lighter="k2",
        lighter_reading="466",
        why="both stood open on the bench",
    )
    dev.main.get_by_label("Scale").select_option(index=1)
    dev.main.locator("button.main").click()

    dev.sees("K-0001")


# --- The camera: Chromium's own picture of a test device, read by a detector that sees what a test tells it

DETECTOR = """
window.seen = [];
window.BarcodeDetector = class {
  static getSupportedFormats() { return Promise.resolve(["ean_13", "qr_code"]); }
  detect() { return Promise.resolve(window.seen.map((one) => ({ rawValue: one }))); }
};
const open = MediaDevices.prototype.getUserMedia;
MediaDevices.prototype.getUserMedia = async function (what) { return window.stream = await open.call(this, what); };
"""
RUNNING = "window.stream?.getTracks().some((one) => one.readyState === 'live') ?? false"


@pytest.mark.camera
def test_dev_holds_a_label_before_the_camera(bay: Bay, enter: Enter) -> None:
    page = enter(bay.by, **PHONE, permissions=["camera"])
    page.add_init_script(DETECTOR)
    page.goto("/bay/J24-0001/charge/")
    dev = Hands(page, touch=True)
    dev.press("Camera")
    expect(page.get_by_role("dialog")).to_contain_text("Looking for a code")
    page.wait_for_function("() => document.querySelector('dialog video').videoWidth > 0")
    assert page.evaluate(RUNNING)

    page.evaluate("window.seen = ['4006381333931']")
    expect(page.get_by_role("dialog")).to_contain_text("That code is none of ours.")
    page.evaluate("number => { window.seen = [number]; }", LABEL.format("K-0003"))

    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(dev.field("container")).to_have_value("K-0003")
    assert focused(page) == "reading"
    assert not page.evaluate(RUNNING)


@pytest.mark.camera
@pytest.mark.parametrize("how", ["button", "key", "lock"])
def test_the_camera_stops_when_its_window_closes(bay: Bay, enter: Enter, how: str) -> None:
    page = enter(bay.by, permissions=["camera"])
    page.add_init_script(DETECTOR)
    page.goto("/bay/J24-0001/charge/")
    Hands(page).press("Camera")
    page.wait_for_function(f"() => {RUNNING}")

    if how == "button":
        page.get_by_role("button", name="Close the camera").click()
    elif how == "key":
        page.keyboard.press("Escape")
    else:
        page.evaluate("document.dispatchEvent(new CustomEvent('tarebook:lock'))")

    expect(page.get_by_role("dialog")).to_have_count(0)
    assert not page.evaluate(RUNNING)
    assert focused(page) == "Camera"


def test_a_refused_camera_is_said_and_the_number_is_typed(bay: Bay, enter: Enter) -> None:
    page = enter(bay.by)
    page.add_init_script(DETECTOR)
    page.goto("/bay/J24-0001/charge/")
    dev = Hands(page)
    dev.press("Camera")

    expect(page.get_by_role("dialog")).to_contain_text("The camera was refused.")
    page.get_by_role("button", name="Close the camera").click()
    dev.field("container").fill("3")
    page.keyboard.press("Enter")
    expect(dev.field("container")).to_have_value("K-0003")


@pytest.mark.camera
def test_the_camera_adds_can_after_can_to_a_list(shop: Shop, cans: list[Container], enter: Enter) -> None:
    page = enter(shop.lee, permissions=["camera"])
    page.add_init_script(DETECTOR)
    page.goto("/labels/new/")
    lee = Hands(page)
    for number in ("K-0001", "K-0002"):
        page.evaluate("window.seen = []")
        lee.press("Camera")
        page.evaluate("number => { window.seen = [number]; }", number)
        expect(page.get_by_role("dialog")).to_have_count(0)

    assert lee.field("containers").input_value() == "K-0001\nK-0002\n"


def test_no_camera_is_offered_where_the_browser_reads_no_codes(bay: Bay, enter: Enter) -> None:
    page = enter(bay.by)
    page.goto("/bay/J24-0001/charge/")

    assert not page.evaluate("'BarcodeDetector' in window")
    expect(page.get_by_role("button", name="Camera")).to_have_count(0)


def test_a_can_scanned_into_another_weight_of_the_page_is_the_can(
    bay: Bay, cans: list[Container], enter: Enter
) -> None:
    bay.weigh(cans[0], "466", Moment.BEFORE)
    page = enter(bay.by)
    page.goto("/bay/J24-0001/charge/")
    for name in ("hoses", "purged", "released"):
        field = page.locator(f"main [name={name}]:not([type=hidden])")
        field.fill("5")
        scan(page, "K-0003")
        expect(field).to_have_value("5")
        expect(page.locator("#weigh [name=container]")).to_have_value("K-0003")
        page.locator("#weigh [name=container]").fill("")
