"""The owner hunts a difference, on a phone and at the desk: from Today to the suspect's own page, and to the note."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import expect

from inventory.models import CountLine, DifferenceNote
from inventory.services import CountedIn, CountIn, MoveIn, add_spot, move_containers, record_count
from tests.browser.conftest import DESK, PHONE, Enter, SetClock
from tests.browser.hands import Hands
from tests.browser.scenes import a_quarter
from tests.factories import Shop, cans_of, receive, ticket_in

pytestmark = pytest.mark.browser

WORK = datetime(2024, 4, 2, 18, 0, tzinfo=UTC)
COUNT = datetime(2024, 4, 30, 22, 0, tzinfo=UTC)


def a_month_that_does_not_come_out(shop: Shop) -> None:
    """After a good count, one can was carried to the van, one is gone, and an open one was used without a ticket."""
    a_quarter(shop, work=WORK, count=WORK + timedelta(hours=4))
    new = cans_of(receive(shop, slip="88413", on=WORK.date(), at=WORK + timedelta(hours=5)))
    van = add_spot("van 2", "van", shop.establishment, at=WORK, by=shop.lee)
    move_containers(MoveIn([new[0]], van, at_once=True), at=WORK + timedelta(days=7), by=shop.dev)
    half = CountLine.objects.get(container="K-0002").container
    counted = [
        CountedIn(half, "weighed", ticket_in(shop, "230")),
        CountedIn(new[0], "missing"),
        CountedIn(new[1], "missing"),
        *(CountedIn(can, "sealed") for can in new[2:]),
    ]
    record_count(CountIn(COUNT.date(), counted), shop.establishment, at=COUNT, by=shop.lee)


@pytest.mark.parametrize("looks", [PHONE, DESK], ids=["phone", "desk"])
def test_the_owner_finds_most_of_it_and_leaves_the_rest_with_a_note(
    shop: Shop, enter: Enter, set_clock: SetClock, looks: dict[str, Any]
) -> None:
    a_month_that_does_not_come_out(shop)
    set_clock(COUNT + timedelta(hours=1))
    marta = Hands(enter(shop.marta, **looks), touch="has_touch" in looks)
    marta.page.goto("/")
    marta.sees("−740 g off in R-134a")
    marta.follow("Find the difference")
    marta.is_at("Find the difference")
    rows = marta.main.locator("table.suspects").first.locator("tbody tr")
    expect(rows.nth(0)).to_contain_text("stands in van 2")
    expect(rows.nth(1)).to_contain_text("K-0014 was not found")
    expect(rows.nth(2)).to_contain_text("K-0002 was never weighed on a job in this time and came 60 g short")
    marta.sees("Left over after what is on file: −61 g to −59 g.")
    across = marta.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert across <= 0
    rows.nth(2).get_by_role("link", name="Weigh K-0002 now").click()
    expect(marta.page).to_have_url("/containers/K-0002/weigh/")
    marta.page.go_back()
    marta.follow("Leave −740 g as a difference, with note")
    marta.type_in(note="one stood in van 2; K-0014 is being looked for")
    marta.press("Sign the note")
    marta.sees("Left as a difference")
    assert DifferenceNote.objects.get().by == shop.marta
    marta.page.goto("/")
    expect(marta.main.get_by_role("link", name="Find the difference")).to_have_count(0)
