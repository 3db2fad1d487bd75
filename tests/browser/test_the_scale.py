"""A bench scale on a serial port, played by tests/browser/scale_port.js; the field is filled by a press alone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from compliance.models import CanTicket
from inventory.models import WeighTicket
from shop.core.mass import Unit, ounces
from shop.models import Equipment
from shop.services import EquipmentIn, add_equipment
from tests.browser.conftest import DESK, PHONE, Enter
from tests.browser.hands import Hands
from tests.browser.test_every_page import faults_of
from tests.compliance.work import Bay
from tests.core.rows import rows_of
from tests.factories import SET_UP, SET_UP_AT, Shop, cans_of, reading, receive

pytestmark = pytest.mark.browser

PORT = Path(__file__).with_name("scale_port.js").read_text(encoding="utf-8")


@pytest.fixture
def bay(shop: Shop) -> Bay:
    cans_of(receive(shop))
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    return bay


class Bench:
    """A technician before a scale on a cable."""

    def __init__(self, page: Page, path: str) -> None:
        self.page = page
        page.add_init_script(PORT)
        page.goto(path)
        self.hands = Hands(page)

    @property
    def use(self) -> Locator:
        return self.page.locator(".from-scale .use")

    def connect(self, scale: str = "SC-1") -> None:
        self.hands.press(f"Read scale {scale}")
        self.page.wait_for_function("() => window.opened")

    def shows(self, line: str | None) -> None:
        self.page.evaluate("line => scaleShows(line)", line)

    def sends(self, text: str) -> None:
        self.page.evaluate("text => scaleSends(text)", text)

    def says(self, text: str) -> None:
        expect(self.page.locator(".from-scale .says")).to_contain_text(text)

    def offers(self, weight: str) -> None:
        expect(self.use).to_have_text(f"Use {weight}")
        expect(self.use).to_be_enabled()

    def offers_nothing(self) -> None:
        expect(self.use).to_be_disabled()


@pytest.fixture
def bench(bay: Bay, enter: Enter) -> Bench:
    """The charge page, SC-1 chosen and connected."""
    bench = Bench(enter(bay.by), "/bay/J24-0001/charge/")
    bench.connect()
    return bench


def test_every_line_is_read_as_the_table_says(bench: Bench) -> None:
    rows = rows_of("scale_lines.csv")

    read: list[dict[str, Any]] = bench.page.evaluate(
        "lines => lines.map((one) => tarebook.readLine(one))", [row["line"] for row in rows]
    )

    told = [(one["said"], one["text"], one["unit"], "yes" if one["net"] else "no") for one in read]
    assert told == [(row["said"], row["text"], row["unit"], row["net"]) for row in rows]


@pytest.mark.parametrize("looks", [DESK, PHONE], ids=["desk", "phone"])
def test_dev_uses_a_steady_weight_and_the_ticket_says_where_it_came_from(
    bay: Bay, enter: Enter, looks: dict[str, Any]
) -> None:
    bench = Bench(enter(bay.by, **looks), "/bay/J24-0001/charge/")
    bench.connect()
    bench.shows("ST,GS,+00466.0 g")
    bench.offers("466 g")
    bench.hands.field("reading").focus()
    expect(bench.hands.field("reading")).to_have_value("")  # never by itself
    assert not CanTicket.objects.exists()

    bench.use.click()
    bench.says("466 g from SC-1 stands in the field. Nothing is kept yet.")
    bench.offers_nothing()  # once for each weight that stood there
    bench.hands.keep()

    bench.hands.sees("ticket 3, K-0001, 466 g", "from scale SC-1, Dev.")
    ticket = WeighTicket.objects.get(number=3)
    assert (ticket.reading_text, ticket.reading_unit, ticket.entered) == ("466", "g", "from scale SC-1")
    assert ticket.scale_line == "ST,GS,+00466.0 g"
    bench.page.goto("/containers/K-0001/")
    bench.hands.sees("taken from the scale, which sent “ST,GS,+00466.0 g”")


def test_what_a_hand_changes_afterwards_is_typed(bench: Bench) -> None:
    bench.shows("466 g")
    bench.offers("466 g")
    bench.use.click()
    bench.hands.field("reading").press("End")
    bench.page.keyboard.press("Backspace")
    bench.page.keyboard.type("6")

    bench.hands.keep()
    bench.hands.sees("ticket 3, K-0001, 466 g")

    ticket = WeighTicket.objects.get(number=3)
    assert (ticket.entered, ticket.scale_line) == ("typed", "")


def test_the_line_stays_with_the_number_while_the_page_asks_back(bench: Bench) -> None:
    """A sealed can of 440 g is too light; Dev says that it came short, and it is still the scale's own number."""
    bench.shows("ST,GS,+00440 g")
    bench.offers("440 g")
    bench.use.click()
    bench.hands.keep()
    bench.hands.press("It came short from the supplier")
    bench.hands.sees("ticket 3, K-0001, 440 g")

    assert WeighTicket.objects.get(number=3).scale_line == "ST,GS,+00440 g"


def test_nothing_is_offered_before_it_has_stood_for_a_second(bench: Bench) -> None:
    for number in range(430, 442):
        bench.sends(f"{number} g\r\n")
    bench.says("moving")
    bench.offers_nothing()
    for _ in range(8):
        bench.sends("US,GS,+00466 g\r\n")  # the scale itself says that it has not settled
        bench.page.wait_for_timeout(200)
    bench.offers_nothing()

    bench.shows("ST,GS,+00466 g")
    bench.offers("466 g")
    bench.shows("US,GS,+00210 g")
    bench.says("moving Last steady: 466 g at")
    bench.offers_nothing()  # two seconds later


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("-12 g", "Below zero. Take everything off and zero the scale."),
        ("OL", "Overload. Take it off the scale."),
        ("16.4 oz", "It shows oz, and SC-1 is on file in g."),
        ("0.466 kg", "It shows kg, and SC-1 is on file in g."),
        ("466.5 g", "It shows 466.5 g, finer than the steps that SC-1 has on file."),
        ("466", "It sends no unit, and a number alone is no weight."),
        ("1,234 g", "The comma can be read two ways."),
        ("\x83#~!", "What comes in is no weight."),
        ("000 g", "It shows zero."),
    ],
)
def test_what_cannot_be_used_is_said_and_typing_goes_on(bench: Bench, line: str, said: str) -> None:
    bench.shows(line)
    bench.says(said)
    bench.page.wait_for_timeout(1300)
    bench.offers_nothing()

    bench.hands.type_in(reading="466")
    bench.hands.keep()
    bench.hands.sees("ticket 3, K-0001, 466 g")


def test_a_unit_that_changes_midway_takes_the_offer_back(bench: Bench) -> None:
    bench.shows("466 g")
    bench.offers("466 g")

    bench.shows("16.4 oz")

    bench.says("Switch the unit on the scale, or type the weight.")
    bench.offers_nothing()


def test_half_a_line_is_no_weight(bench: Bench) -> None:
    """What comes first may be the end of "1466 g"; so may what comes after noise. And a line comes in pieces."""
    bench.sends("466 g\r\n")
    bench.page.wait_for_timeout(300)
    expect(bench.page.locator(".from-scale .live")).to_have_text("–")
    bench.sends("+  46")
    bench.page.evaluate("noise()")
    bench.page.wait_for_timeout(200)
    bench.sends("7 g\r\n")
    bench.page.wait_for_timeout(300)
    expect(bench.page.locator(".from-scale .live")).to_have_text("–")
    for _ in range(6):
        bench.sends("\x02+  46")
        bench.page.wait_for_timeout(150)
        bench.sends("6 g\x03\r\n")
        bench.page.wait_for_timeout(150)

    bench.offers("466 g")


def test_a_scale_that_is_unplugged_comes_back_when_it_is_plugged_in(bench: Bench) -> None:
    bench.shows("466 g")
    bench.offers("466 g")

    bench.page.evaluate("unplug()")
    bench.says("The scale is unplugged. Type the weight, or plug it in again.")
    expect(bench.use).to_be_hidden()
    bench.page.evaluate("plugIn()")

    bench.offers("466 g")


def test_a_scale_that_falls_silent_is_said(bench: Bench) -> None:
    bench.shows("466 g")
    bench.offers("466 g")

    bench.shows(None)

    bench.says("Nothing comes in. Is the scale on, and set to send all the time?")
    bench.offers_nothing()


def test_the_device_remembers_the_port_and_asks_once(bench: Bench) -> None:
    page = bench.page
    assert page.evaluate("window.askedForPort") == 1
    assert page.evaluate("window.opened") == {
        "baudRate": 9600,
        "dataBits": 8,
        "parity": "none",
        "stopBits": 1,
    }

    page.goto("/device/")
    bench.hands.sees("Its port is known here.")
    page.get_by_label("SC-1, speed and line").select_option("2400 7E1")
    page.goto("/bay/J24-0001/charge/")
    page.wait_for_function("() => window.opened")
    bench.shows("466 g")
    bench.offers("466 g")

    assert page.evaluate("window.opened") == {
        "baudRate": 2400,
        "dataBits": 7,
        "parity": "even",
        "stopBits": 1,
    }
    assert page.evaluate("window.askedForPort") is None
    page.goto("/device/")
    bench.hands.press("Forget its port SC-1")
    bench.hands.sees("Its port is asked for at the first weight.")


@pytest.fixture
def ounce_scale(shop: Shop) -> Equipment:
    """SC-9 shows ounces in steps of 0.1."""
    scale = EquipmentIn(
        code="SC-9",
        kind=Equipment.Kind.SCALE,
        in_service_on=SET_UP,
        division=reading("0.1", Unit.OZ),
    )
    return add_equipment(scale, shop.establishment, today=SET_UP, at=SET_UP_AT, by=shop.marta)


def test_the_chosen_scale_is_the_one_that_is_read(bay: Bay, ounce_scale: Equipment, enter: Enter) -> None:
    bench = Bench(enter(bay.by), "/bay/J24-0001/charge/")
    bench.connect()
    bench.shows("466 g")
    bench.offers("466 g")
    bench.use.click()

    bench.page.locator("summary", has_text="More").first.click()
    bench.hands.field("scale").select_option(label="SC-9")
    expect(bench.page.locator("[name=reading_line]")).to_have_value("")  # it was the other scale's
    bench.hands.press("Read scale SC-9")
    bench.says("That port is SC-1 on this device. Choose SC-1, or forget it under This device.")
    bench.page.evaluate("localStorage.clear()")
    bench.hands.press("Read scale SC-9")
    bench.shows("+  16.4 oz")
    bench.offers("16.4 oz")
    bench.use.click()
    bench.hands.press("Keep 16.4 oz")

    bench.hands.sees("ticket 3, K-0001, 16.4 oz", "from scale SC-9")
    ticket = WeighTicket.objects.get(number=3)
    assert (ticket.gross, ticket.scale, ticket.scale_line) == (ounces("16.4"), ounce_scale, "+  16.4 oz")


def test_on_a_page_with_two_weights_the_panel_goes_where_the_focus_is(shop: Shop, enter: Enter) -> None:
    Bay.check_in(shop)
    bench = Bench(enter(shop.dev), "/bay/J24-0001/recovery/")
    bench.connect()
    bench.shows("7756 g")
    bench.offers("7756 g")
    bench.use.click()
    bench.hands.field("after").focus()
    bench.offers_nothing()  # that weight was used; the cylinder stands there still
    bench.shows("7966 g")
    bench.offers("7966 g")
    bench.use.click()
    bench.hands.press("Done")
    bench.hands.is_at("Leak check")

    lines = WeighTicket.objects.order_by("number").values_list("reading_text", "scale_line")
    assert list(lines) == [("7756", "7756 g"), ("7966", "7966 g")]


@pytest.mark.parametrize(
    ("script", "said"),
    [
        ("window.nobodyChooses = true", "No port was chosen. Type the weight, or try again."),
        ("window.portIsBusy = true", "The port did not open; another page or program may be using it."),
    ],
)
def test_a_port_that_does_not_open_is_said(bay: Bay, enter: Enter, script: str, said: str) -> None:
    bench = Bench(enter(bay.by), "/bay/J24-0001/charge/")
    bench.page.evaluate(script)

    bench.hands.press("Read scale SC-1")

    bench.says(said)


def test_no_scale_is_offered_where_the_browser_has_no_ports(bay: Bay, enter: Enter) -> None:
    page = enter(bay.by)
    page.add_init_script("delete Navigator.prototype.serial")
    page.goto("/bay/J24-0001/charge/")
    Hands(page).type_in(reading="466")

    expect(page.locator(".from-scale")).to_have_count(0)
    page.goto("/device/")
    Hands(page).sees("This browser does not offer it.")


def test_the_panel_has_no_fault_in_any_size(bench: Bench) -> None:
    bench.shows("466 g")
    bench.offers("466 g")
    faults = faults_of(bench.page)
    bench.page.goto("/device/")

    assert faults + faults_of(bench.page) == []
