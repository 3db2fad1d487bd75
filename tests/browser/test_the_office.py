"""The office: what came in through the back door, the quarter's report, and papers shown to anybody."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from playwright.sync_api import expect

from compliance.models import Document
from inventory.models import Delivery
from tests.browser.conftest import DESK, PHONE, Enter, SetClock
from tests.browser.hands import Hands
from tests.browser.scenes import a_quarter
from tests.compliance.work import Bay
from tests.factories import NOON, Shop, cans_of, receive

pytestmark = pytest.mark.browser

JULY = datetime(2024, 7, 9, 16, 0, tzinfo=UTC)


def count_up(lee: Hands) -> None:
    """Three cases on slip 88412, one can of them damaged."""
    lee.page.goto("/cabinet/")
    lee.follow("Receive")
    lee.main.get_by_label("From").select_option("Sample Parts Supply")
    lee.main.get_by_label("What").select_option("R-134a 12-oz can, 340 g, case of 12")
    lee.type_in(slip="88412", cases_0="3", cans_0="", damaged_0="1", lots_0="L24B-07")
    lee.press("Count it up")
    lee.sees("3 cases = 36 cans", "35 sound, 1 damaged")


@pytest.mark.parametrize("looks", [PHONE, DESK], ids=["phone", "desk"])
def test_cases_are_counted_up_in_cans_before_they_are_saved(
    shop: Shop, enter: Enter, looks: dict[str, Any]
) -> None:
    lee = Hands(enter(shop.lee, **looks), touch=looks is PHONE)

    count_up(lee)
    assert not Delivery.objects.exists()
    lee.press("Put in the cabinet")

    lee.sees("In the cabinet: 35 cans")
    lee.go_to("Cabinet")
    lee.sees("35 sealed, 0 open")
    assert len(cans_of(Delivery.objects.get())) == 35


@pytest.mark.parametrize("looks", [PHONE, DESK], ids=["phone", "desk"])
def test_a_fragment_of_a_plate_or_a_can_finds_it(shop: Shop, enter: Enter, looks: dict[str, Any]) -> None:
    """Also with an O typed for a 0; one thing found is opened at once."""
    cans = cans_of(receive(shop))
    Bay.check_in(shop, plate="SMP-417").straight(cans[0], cans[1])
    lee = Hands(enter(shop.lee, **looks), touch=looks is PHONE)

    for words, heading in (("mp-41", "J24-0001"), ("ooo3", "K-0003")):
        lee.page.goto("/")
        box = lee.page.get_by_role("searchbox").first
        box.fill(words)
        box.press("Enter")
        lee.is_at(heading)


def test_the_same_slip_again_points_to_its_first_delivery(shop: Shop, enter: Enter) -> None:
    receive(shop)
    lee = Hands(enter(shop.lee))

    count_up(lee)
    lee.press("Put in the cabinet")

    lee.sees("received Apr 2 2024 by Lee Okonma")
    lee.follow("Open D24-0001")
    lee.is_at("Delivery D24-0001")
    assert Delivery.objects.count() == 1


@pytest.fixture
def quarter(shop: Shop, set_clock: SetClock) -> Bay:
    """A case of twelve received, the sample job closed, the cabinet counted on June 30; now it is July."""
    bay = a_quarter(shop, work=NOON, count=datetime(2024, 6, 30, 22, 30, tzinfo=UTC))
    set_clock(JULY)
    return bay


def test_the_owner_looks_at_the_draft_of_a_quarter_and_signs_it(
    quarter: Bay, shop: Shop, enter: Enter
) -> None:
    marta = Hands(enter(shop.marta))
    marta.page.goto("/records/")
    marta.follow("Usage reports")

    marta.press("Make the draft")  # of the last whole quarter, as the page offers it
    marta.is_at("Usage report, draft")
    marta.press("Sign as Marta Quill")

    expect(marta.page).to_have_url("/papers/UR-24-01/1/")
    # received 12 x 340 = 4080; into the car 503, hoses 6: 3571 by the book; counted 2 + 164 + 10 x 340 = 3566
    marta.sees("503.0 g (17.7 oz) into 1 vehicle", "4,080.0", "3,571.0", "3,566.0", "5.0 g unexplained")
    marta.sees("Marta Quill, owner, signed on as marta")
    assert Document.objects.filter(kind=Document.Kind.USAGE_REPORT).get().by == shop.marta


def test_a_technician_is_told_in_words_that_reports_are_not_for_this_role(
    shop: Shop, enter: Enter, complaints: list[str]
) -> None:
    dev = Hands(enter(shop.dev))

    answer = dev.page.goto("/reports/")

    assert answer is not None
    assert answer.status == 403
    dev.is_at("Not for this role")
    dev.sees("Your role does not open this page.")
    dev.follow("Today")
    dev.is_at("Today")
    assert [one for one in complaints if "status of 403" not in one] == []
    complaints.clear()  # the browser notes such an answer itself


def test_anybody_may_ask_whether_a_paper_is_current_and_learns_no_more(
    quarter: Bay, shop: Shop, enter: Enter
) -> None:
    paper = Document.objects.get()
    nobody = Hands(enter())

    nobody.page.goto(f"/check/{paper.number}/1/")

    nobody.sees("C24-0001, version 1", "Current", "This version holds.", paper.fingerprint)
    whole = nobody.page.content()
    private = ("Calloway", "SMP-417", "sedan", "R-134a", "Larkin", "SAMPLE-7741", "503", "K-0001", "J24-0001")
    assert [word for word in private if word in whole] == []
