"""Jobs at the car, from check-in to the paper, by hand on the real pages."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect

from compliance.models import CanTicket, Closing, Document, Job
from inventory.models import Container, Movement
from inventory.services import LineIn
from shop.core.mass import grams
from tests.browser.conftest import AFTERNOON, DESK, PHONE, Enter, SetClock
from tests.browser.hands import Hands
from tests.compliance.work import Bay, Moment
from tests.factories import Shop, cans_of, receive

pytestmark = pytest.mark.browser

GONE_ON = "Before: it goes on the car now"
EMPTY = "After, it is empty and comes off"
OFF = "After, it comes off the car"


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    """Twelve sealed 12-oz cans of R-134a, K-0001 to K-0012."""
    return cans_of(receive(shop))


def do_the_straight_job(dev: Hands) -> None:
    """The sample job: 338 g and 171 g out of two cans, 6 g in the hoses, 503 g in a 500 g car."""
    dev.sign_on("dev")
    dev.check_in()
    dev.recover()
    dev.leak_check()
    dev.evacuate()
    dev.weigh("K-0001", "466", GONE_ON)
    dev.sees("ticket 3, K-0001, 466 g", "this can will then be empty, take another")
    dev.weigh("K-0001", "128", EMPTY)
    dev.sees("ticket 4, K-0001, 128 g")
    dev.weigh("2", "464", GONE_ON)  # the number alone is enough
    dev.sees("ticket 5, K-0002, 464 g")
    stop = dev.stop_at()
    # 500 g asked + 6 g for the hoses - 338 g given = 168 g; 464 - 168 = 296
    assert stop == 296
    dev.weigh("K-0002", str(stop - 3), OFF)  # stopped a little late
    dev.sees("ticket 6, K-0002, 293 g", "Cans out 509.0 g = car 503.0 g + hoses 6.0 g")
    dev.finish_the_charge()
    dev.read_the_vents()
    dev.close()


def see_the_certificate(dev: Hands) -> None:
    expect(dev.page).to_have_url("/papers/C24-0001/1/")
    dev.is_at("C24-0001")
    dev.sees("Current", "503 g", "Ines Calloway", "SAMPLE-7741")
    link = dev.main.get_by_role("link", name="PDF to print")
    answer = dev.page.request.get(link.get_attribute("href") or "")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.body() == bytes(Document.objects.get().pdf)
    charged = Movement.objects.filter(source__in=["K-0001", "K-0002"], target="vehicles")
    assert [row.mass for row in charged.order_by("pk")] == [grams(338), grams(165)]
    assert Closing.objects.get().by.username == "dev"


@pytest.fixture
def wait(set_clock: SetClock) -> Callable[[int], None]:
    """Let so many minutes pass on the shop's clock."""
    passed = [0]

    def let_pass(minutes: int) -> None:
        passed[0] += minutes
        set_clock(AFTERNOON + timedelta(minutes=passed[0]))

    return let_pass


def test_a_technician_does_the_straight_job_on_a_phone(
    cans: list[Container], enter: Enter, wait: Callable[[int], None]
) -> None:
    dev = Hands(enter(**PHONE), touch=True, wait=wait)

    do_the_straight_job(dev)

    see_the_certificate(dev)


def test_the_straight_job_needs_no_script(
    cans: list[Container], enter: Enter, wait: Callable[[int], None]
) -> None:
    dev = Hands(enter(**DESK, java_script_enabled=False), wait=wait)

    do_the_straight_job(dev)

    see_the_certificate(dev)


@pytest.fixture
def charging(shop: Shop, cans: list[Container]) -> Bay:
    """A 500 g car, empty and tight, ready for its charge."""
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    return bay


def at_the_charge(page: Page) -> Hands:
    page.goto("/bay/J24-0001/charge/")
    return Hands(page)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("16.4", "16.4 looks like ounces (= 465 g)"),  # 16.4 x 28.349523125 = 464.93
        ("16", "16 looks like ounces (= 454 g). If so, type 454 g."),  # 16 x 28.349523125 = 453.59
        ("648", "A full can of this kind weighs about 466 g. Read the scale again."),
    ],
)
def test_a_slip_is_told_in_a_sentence_and_writes_nothing(
    charging: Bay, enter: Enter, typed: str, said: str
) -> None:
    dev = at_the_charge(enter(charging.by))

    dev.weigh("K-0001", typed, GONE_ON)

    dev.sees(said)
    expect(dev.field("reading")).to_have_value(typed)
    assert not CanTicket.objects.exists()


def test_the_reading_that_was_meant_is_one_tap_away(charging: Bay, enter: Enter) -> None:
    dev = at_the_charge(enter(charging.by, **PHONE))
    dev.weigh("K-0001", "16.4", GONE_ON)

    dev.press("Use 465 g (16.4 oz)")

    dev.sees("Saved", "Can K-0001 on the car since")
    assert round(CanTicket.objects.get().ticket.gross.grams) == 465


def test_a_can_of_the_wrong_refrigerant_is_refused(charging: Bay, shop: Shop, enter: Enter) -> None:
    (other,) = cans_of(receive(shop, LineIn(shop.can8, on_slip=1, sound=1), slip="88413"))
    dev = at_the_charge(enter(charging.by))

    dev.weigh(other.code, "335", GONE_ON)

    dev.sees(f"{other.code} is R-1234yf. This car takes R-134a. Put it back.")
    assert not CanTicket.objects.exists()


def test_a_job_that_does_not_add_up_stays_open_and_names_the_can(
    charging: Bay, cans: list[Container], enter: Enter
) -> None:
    charging.draw(cans[0], "466", "128", emptied=True)
    charging.weigh(cans[1], "464", Moment.BEFORE)
    charging.keep_charge()
    charging.finals()
    page = enter(charging.by)
    page.goto("/bay/J24-0001/close/")
    dev = Hands(page)

    dev.press("Sign and close")

    dev.sees("K-0002 has a weight before and none after. Weigh it.", "K-0002 is still on the car.")
    assert not Closing.objects.exists()
    page.goto("/bay/")
    expect(page.get_by_role("link", name="Carry on")).to_be_visible()


def test_a_leak_found_stops_the_job_and_makes_a_paper_that_says_not_charged(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    dev = Hands(enter(shop.dev, **PHONE), touch=True)
    dev.page.goto("/")
    dev.check_in()
    dev.recover()
    dev.leak_check("leak found", "condenser lower left, dye, steady")

    dev.follow("Stop the job")
    dev.type_in(stopped="leak found, condenser lower left", state_now="recovered 210 g, empty, ports capped")
    dev.type_in(choice="declined, by phone, 2:15 pm, told to Lee")
    dev.press("Sign as not charged")

    dev.is_at("C24-0001")
    dev.sees("not charged", "condenser lower left", "declined, by phone", "210 g")
    assert not Closing.objects.get().charged
    assert Job.objects.get().closing.by == shop.dev
