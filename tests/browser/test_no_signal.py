"""The Wi-Fi dies behind a lift: the open job goes on, and every entry arrives once, in order, at its own time."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import expect

from compliance.models import CanTicket, Closing, Evacuation, SpareEntry, Stage
from inventory.models import Container
from tests.browser.conftest import Phone, Profiles
from tests.browser.hands import Hands
from tests.browser.phones import BEFORE_IT, CHARGE, JOB, LEFT, lose_signal, not_sent, pile, readings, ready
from tests.browser.test_every_page import faults_of
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import PASSWORD, Shop

pytestmark = pytest.mark.browser


def test_the_charge_goes_on_through_reload_and_restart_and_arrives_once_in_order(
    bay: Bay, profiles: Profiles, phone: Phone
) -> None:
    dev = ready(phone(bay.by))

    lose_signal(dev.page)
    dev.weigh("K-0002", "400", "After, it stays on the car")
    not_sent(dev.page, 1)
    expect(pile(dev.page).locator("li")).to_contain_text(
        re.compile(r"typed \d\d:\d\d:\d\d – Charge R-134a: K-0002, 400 g, After, it stays on the car")
    )
    dev.weigh("K-0002", "350", "After, it comes off the car")
    not_sent(dev.page, 2)
    dev.page.reload()
    not_sent(dev.page, 2)
    dev.page.wait_for_timeout(1200)
    dev.weigh("K-0003", "466", "Before: it goes on the car now")
    not_sent(dev.page, 3)
    assert readings() == BEFORE_IT
    faults = faults_of(dev.page)

    page = profiles.again(dev.page, "dev")
    page.context.set_offline(True)
    page.goto(CHARGE)
    not_sent(page, 3)
    page.context.set_offline(False)
    expect(pile(page)).to_be_hidden()

    dev = Hands(page, touch=True)
    dev.sees("ticket 6, K-0002, 400 g", "ticket 7, K-0002, 350 g", "ticket 8, K-0003, 466 g", "Sent later")
    assert readings() == [
        *BEFORE_IT,
        ("K-0002", "400", "after"),
        ("K-0002", "350", "after"),
        ("K-0003", "466", "before"),
    ]
    waited: list[Any] = [row.sent_later for row in CanTicket.objects.order_by("pk")[3:]]
    assert [one.doubt for one in waited] == ["", "", ""]
    assert all(
        abs(one.row.at - one.typed_at) < timedelta(seconds=2) for one in waited
    )  # the clocks are the same
    first, second, third = (one.typed_at for one in waited)
    assert (
        first < second < third - timedelta(seconds=1) < waited[2].at
    )  # each at its own time, received after all
    assert faults == []


def test_without_signal_the_page_asks_what_the_server_would_ask_and_sums_what_waits(
    bay: Bay, phone: Phone
) -> None:
    dev = ready(phone(bay.by))
    lose_signal(dev.page)

    dev.choose("After, it stays on the car")
    dev.type_in(reading="10.4")
    dev.keep()
    dev.sees("10.4 looks like ounces (= 295 g)", "Nothing has been saved yet.")
    dev.type_in(reading="400")
    dev.sees("396 g in the car · 104 g to go")  # 338 + 64 - 6
    dev.keep()
    not_sent(dev.page, 1)
    dev.sees("Can K-0002 on the car, by what is not sent")
    expect(dev.main.locator("[data-sum=in-car] .number")).to_have_text("396 g")
    assert dev.stop_at() == 296

    dev.choose("After, it comes off the car")
    dev.type_in(reading="420")
    dev.keep()
    dev.sees("K-0002 got heavier: 420 g after 400 g.")
    not_sent(dev.page, 1)
    dev.type_in(reading="239")  # 464 - 239 = 225, 557 g in a 500 g car
    dev.keep()
    dev.sees("That puts 557 g in a 500 g car.")
    dev.press("Keep it: the scale says so")
    not_sent(dev.page, 2)

    dev.page.context.set_offline(False)
    expect(pile(dev.page)).to_be_hidden()
    dev.sees("Over by 57 g. What next?")
    assert [text for _, text, _ in readings()][3:] == ["400", "239"]


def test_a_can_that_the_pile_emptied_is_not_offered_again(
    shop: Shop, cans: list[Container], phone: Phone
) -> None:
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    dev = ready(phone(bay.by))
    offered = dev.main.locator("#next-cans")
    expect(offered.locator(".code")).to_have_text(["K-0001", "K-0002"])
    lose_signal(dev.page)
    dev.weigh("K-0001", "466", "Before: it goes on the car now")
    not_sent(dev.page, 1)
    expect(offered).to_have_text(
        re.compile(r"Then\s+K-0002 sealed, lot \S+, should weigh about 466 g take 166 g")
    )
    dev.weigh("K-0001", "128", "After, it is empty and comes off")
    not_sent(dev.page, 2)

    expect(offered.locator("h2")).to_have_text("Next can")
    expect(offered.locator(".code")).to_have_text(["K-0002"])
    expect(offered).to_contain_text("take 168 g")  # 500 + 6 - 338
    expect(dev.field("container")).to_have_value("K-0002")
    assert faults_of(dev.page) == []
    dev.page.goto(f"{CHARGE}?can=K-0003")
    expect(dev.field("container")).to_have_value("K-0003")
    dev.weigh("K-0003", "466", "Before: it goes on the car now")
    not_sent(dev.page, 3)
    dev.weigh("K-0003", "400", "After, it comes off the car")
    expect(offered).to_have_text(
        re.compile(r"Next can\s+K-0003 open, last 400 g, should weigh about 400 g take 102 g")
    )


def test_a_stage_is_asked_without_signal_beside_its_fields(shop: Shop, phone: Phone) -> None:
    Bay.check_in(shop)
    dev = ready(phone(shop.dev), JOB)
    lose_signal(dev.page)
    dev.page.goto(f"{JOB}recovery/")

    dev.type_in(before="7756", after="7700")
    dev.press("Done")
    dev.sees("The cylinder got lighter.")
    dev.type_in(after="7966")
    dev.press("Done")
    not_sent(dev.page, 1)

    dev.page.context.set_offline(False)
    expect(pile(dev.page)).to_be_hidden()
    assert Stage.objects.get(kind="recovery").sent_later.doubt == ""


def test_stages_and_clocks_wait_too(shop: Shop, phone: Phone) -> None:
    bay = Bay.check_in(shop)
    bay.recover()
    dev = ready(phone(shop.dev), JOB)
    lose_signal(dev.page)

    dev.page.goto(f"{JOB}leak-check/")
    dev.choose("no leak seen", "eyes", "electronic detector", "compressor", "hoses")
    dev.press("Done")
    not_sent(dev.page, 1)
    dev.sees("Leak check (typed, not sent)", "Carry on: Leak check (typed, not sent)")
    dev.page.goto(f"{JOB}evacuation/")
    dev.press("Pump: starts now")
    not_sent(dev.page, 2)
    expect(pile(dev.page).locator("li").nth(1)).to_have_text(
        re.compile(r"– Evacuation R-134a: Pump: starts now$")
    )
    dev.page.context.set_offline(False)
    expect(pile(dev.page)).to_be_hidden()

    dev.is_at("Evacuation")
    dev.sees("Pump: ends now")
    assert list(Stage.objects.values_list("kind", flat=True)) == ["check-in", "recovery", "leak-check"]
    assert Stage.objects.get(kind="leak-check").sent_later.doubt == ""
    assert not Evacuation.objects.exists()


def test_the_pump_is_started_and_stopped_without_signal_each_once(shop: Shop, phone: Phone) -> None:
    bay = Bay.check_in(shop)
    bay.recover()
    bay.leak_check()
    dev = ready(phone(shop.dev), f"{JOB}evacuation/")
    lose_signal(dev.page)

    dev.type_in(deepest="600")
    dev.press("Pump: starts now")
    not_sent(dev.page, 1)
    expect(dev.main.get_by_role("button", name="Pump: starts now")).to_be_hidden()
    dev.page.wait_for_timeout(1100)
    dev.press("Pump: ends now")
    not_sent(dev.page, 2)
    expect(dev.main.get_by_role("button", name="Pump: ends now")).to_be_hidden()
    expect(dev.field("deepest")).to_have_value("600")
    dev.choose("no hold taken")
    dev.press("Done")
    not_sent(dev.page, 3)
    typed = dev.page.evaluate("async () => (await tarebookPile.all()).map((one) => one.typedAt)")
    dev.page.context.set_offline(False)
    expect(pile(dev.page)).to_be_hidden()

    pumped = Evacuation.objects.get()
    ran = (pumped.stopped_at - pumped.started_at).total_seconds()
    assert abs(ran - (typed[1] - typed[0]) / 1000) < 0.1


def test_what_the_server_refuses_stops_the_pile_and_is_put_right(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    lose_signal(dev.page)
    dev.weigh("K-0002", "400", "After, it stays on the car")
    not_sent(dev.page, 1)
    bay.weigh(Container.objects.get(pk="K-0002"), "390", stays_on=True)  # meanwhile, on Dev's own tablet
    dev.weigh("K-0002", "350", "After, it comes off the car")
    not_sent(dev.page, 2)
    dev.page.context.set_offline(False)

    expect(pile(dev.page).locator("li").first.locator(".error")).to_contain_text(
        "The scale says: K-0002 got heavier: 400 g after 390 g."
    )
    not_sent(dev.page, 2)
    assert [text for _, text, _ in readings()][3:] == ["390"]
    assert faults_of(dev.page) == []
    pile(dev.page).get_by_role("button", name="Put it right").tap()
    expect(dev.main.get_by_role("alert")).to_contain_text("K-0002 got heavier: 400 g after 390 g.")
    dev.type_in(reading="388")
    dev.keep()

    expect(dev.main.locator(".row", has_text="ticket 8")).to_contain_text("350 g")
    expect(pile(dev.page)).to_be_hidden()
    assert [text for _, text, _ in readings()][3:] == ["390", "388", "350"]


def test_what_was_refused_is_set_aside_and_stays_in_the_history(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    lose_signal(dev.page)
    dev.weigh("K-0099", "466", "Before: it goes on the car now")
    dev.sees("This page does not know K-0099. It is looked at when the signal is back.")
    dev.press("Keep both on the car")
    not_sent(dev.page, 1)
    dev.page.context.set_offline(False)
    expect(pile(dev.page).locator(".error").first).to_contain_text("Can: There is no can K-0099 in the book")

    pile(dev.page).get_by_role("button", name="Set aside").tap()

    expect(pile(dev.page)).to_be_hidden()
    dev.page.goto(JOB)
    dev.sees("K-0099, 466 g", "There is no can K-0099 in the book")
    assert SpareEntry.objects.get().typed["reading"] == "466"
    assert readings() == BEFORE_IT


def test_nobody_signs_off_with_entries_waiting_and_close_waits(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    lose_signal(dev.page)
    dev.weigh("K-0002", "400", "After, it stays on the car")
    not_sent(dev.page, 1)

    dev.page.get_by_role("button", name="Sign off").tap()
    expect(pile(dev.page).locator(".count")).to_contain_text("1 not sent. Stay signed on")
    dev.page.goto(f"{JOB}close/")
    dev.sees("Close waits for the signal")

    dev.page.context.set_offline(False)
    expect(dev.page.locator("html:not([data-copy])")).to_have_count(1)  # all is sent
    expect(pile(dev.page)).to_be_hidden()
    assert Closing.objects.count() == 0
    dev.page.goto(JOB)
    dev.page.get_by_role("button", name="Sign off").tap()
    expect(dev.page).to_have_url(re.compile("/sign-on/"))


def test_the_page_warns_when_something_has_waited_for_two_hours(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    lose_signal(dev.page)
    dev.weigh("K-0002", "400", "After, it stays on the car")
    not_sent(dev.page, 1)
    expect(pile(dev.page).locator(".count")).not_to_contain_text("waited")
    dev.page.evaluate(
        """async () => { const [one] = await tarebookPile.all();
          await tarebookPile.put({ ...one, typedAt: one.typedAt - 2 * 3600_000 - 1000 }); }"""
    )
    dev.page.reload()
    expect(pile(dev.page).locator(".count")).to_contain_text("It has waited since")


def test_a_device_that_signs_off_leaves_nothing_readable_behind(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    dev.page.evaluate("localStorage.setItem('rang 2024-04-02T21:00:00+00:00', '1')")
    lose_signal(dev.page)
    dev.weigh("K-0002", "400", "After, it stays on the car")
    not_sent(dev.page, 1)
    held = dev.page.evaluate(LEFT)
    assert (held["caches"], held["databases"]) == ([f"tarebook copies of {bay.by.pk} en"], ["tarebook"])
    dev.page.context.set_offline(False)
    expect(pile(dev.page)).to_be_hidden()

    dev.page.get_by_role("button", name="Sign off").tap()
    expect(dev.page).to_have_url(re.compile("/sign-on/"))

    dev.page.wait_for_timeout(500)
    assert dev.page.evaluate(LEFT) == {"caches": [], "databases": [], "marks": []}


def test_the_pages_and_the_pile_of_one_person_are_not_shown_to_the_next(
    bay: Bay, shop: Shop, phone: Phone, sign_on: SignOn
) -> None:
    dev = ready(phone(bay.by))
    lose_signal(dev.page)
    dev.weigh("K-0002", "400", "After, it stays on the car")
    not_sent(dev.page, 1)
    dev.page.context.clear_cookies(name="sessionid")  # the server signed Dev off meanwhile
    dev.page.context.set_offline(False)
    dev.page.goto(CHARGE)
    expect(dev.page).to_have_url(re.compile("/sign-on/"))
    dev.page.wait_for_timeout(500)
    assert dev.page.evaluate(LEFT)["caches"] == []

    dev.type_in(username="rosa", password=PASSWORD)
    dev.press("Sign on")
    dev.is_at("Charge")
    ready(dev.page)
    expect(pile(dev.page).locator(".count")).to_contain_text("1 typed by somebody else wait on this device.")
    expect(pile(dev.page).locator("li")).to_have_count(0)
    expect(pile(dev.page)).not_to_contain_text("K-0002")
    assert dev.page.evaluate(LEFT)["caches"] == [f"tarebook copies of {shop.rosa.pk} en"]
    assert readings() == BEFORE_IT
    dev.page.get_by_role("button", name="Sign off").tap()
    dev.type_in(username="dev", password=PASSWORD)
    dev.press("Sign on")

    dev.is_at("Today")
    for _ in range(100):
        if readings() != BEFORE_IT:
            break
        dev.page.wait_for_timeout(100)
    assert readings()[-1] == ("K-0002", "400", "after")
    assert CanTicket.objects.order_by("pk").last().by == bay.by  # type: ignore[union-attr]


def test_two_phones_on_one_can_are_both_shown_and_somebody_chooses(
    bay: Bay, shop: Shop, phone: Phone
) -> None:
    dev = ready(phone(bay.by))
    lose_signal(dev.page)
    dev.weigh("K-0002", "297", "After, it comes off the car")
    not_sent(dev.page, 1)
    rosa = ready(phone(shop.rosa))
    rosa.weigh("K-0002", "293", "After, it comes off the car")
    rosa.sees("ticket 6, K-0002, 293 g")

    dev.page.context.set_offline(False)
    expect(pile(dev.page)).to_be_hidden()
    assert [text for _, text, _ in readings()][3:] == ["293"]  # nothing was merged
    rosa.page.goto(JOB)
    rosa.sees("Two phones wrote this down", "First: Rosa", "K-0002, 293 g, After", "Second: Dev", "297 g")
    assert faults_of(rosa.page) == []
    rosa.press("The second is true")

    rosa.sees("Chosen.", "The second is true: Rosa")
    rosa.page.goto(CHARGE)
    expect(rosa.main.locator(".row", has_text="ticket 7")).to_contain_text("297 g")
    newest = CanTicket.objects.order_by("pk").last()
    assert newest is not None
    assert (newest.by, newest.stands_for.old.by) == (shop.dev, shop.rosa)  # Dev typed it and signs it
