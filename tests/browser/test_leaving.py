"""No signal away from the job: every page says so in our words, and who leaves is not kept by it."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from compliance.models import CanTicket
from inventory.models import Container
from tests.browser.conftest import Phone
from tests.browser.phones import BEFORE_IT, CHARGE, JOB, LEFT, lose_signal, not_sent, pile, readings, ready
from tests.browser.test_every_page import faults_of
from tests.compliance.work import Bay
from tests.factories import Shop

pytestmark = pytest.mark.browser


def words_kept(page: Page) -> None:
    """Until the worker has its words."""
    asked = "async () => Boolean(navigator.serviceWorker.controller && await caches.match('/no-signal/'))"
    while not page.evaluate(asked):
        page.wait_for_timeout(50)


def test_other_pages_say_what_goes_on_without_signal_and_lead_to_the_open_job(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    lose_signal(dev.page)
    dev.weigh("K-0002", "400", "After, it stays on the car")
    not_sent(dev.page, 1)
    for path in ("/", "/cabinet/", "/records/", "/find/?q=K-0002"):
        dev.page.goto(path)
        dev.sees("There is no signal, and this page is not kept on this device.")
        not_sent(dev.page, 1)
    expect(dev.main.locator("[data-kept-jobs] li")).to_have_text([re.compile("J24-0001.*SMP-417")])
    assert faults_of(dev.page) == []
    dev.follow("J24-0001")
    dev.is_at("J24-0001")

    dev.page.goto("/cabinet/")
    dev.page.context.set_offline(False)
    dev.follow("Try again")
    dev.is_at("Cabinet")


def test_who_has_no_job_here_is_told_in_their_language(shop: Shop, phone: Phone) -> None:
    page = phone(shop.lee)
    page.goto("/")
    words_kept(page)
    page.context.set_offline(True)
    page.goto("/records/")
    expect(page.locator("h1")).to_have_text("No signal")
    expect(page.locator("[data-why]:visible")).to_have_count(1)
    assert faults_of(page) == []
    page.context.set_offline(False)
    page.get_by_role("link", name="Try again").tap()
    expect(page.locator("h1")).to_have_text("Records")


def test_a_sign_off_without_signal_has_not_happened_and_goes_first_when_it_can(
    bay: Bay, phone: Phone
) -> None:
    dev = ready(phone(bay.by))
    words_kept(dev.page)
    lose_signal(dev.page)
    dev.page.get_by_role("button", name="Sign off").tap()
    expect(pile(dev.page).locator(".count")).to_contain_text("signing off takes the kept pages")
    assert f"tarebook copies of {bay.by.pk} en" in dev.page.evaluate(LEFT)["caches"]  # nothing is gone yet
    dev.page.get_by_role("button", name="Sign off").tap()
    expect(dev.main).to_contain_text("You are not signed off yet")
    assert faults_of(dev.page) == []
    for path in (CHARGE, "/"):
        dev.page.goto(path)
        expect(dev.main).to_contain_text("You are not signed off yet")
        expect(dev.page.locator("body")).not_to_contain_text("J24-0001")
    assert dev.page.evaluate(LEFT)["caches"] == ["tarebook leaving"]

    dev.page.context.set_offline(False)
    dev.page.goto(JOB)
    expect(dev.page).to_have_url(re.compile("/sign-on/"))
    assert dev.page.evaluate(LEFT) == {"caches": [], "databases": [], "marks": []}


def test_one_press_signs_off_where_the_server_is_reached_without_any_network(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    dev.page.add_init_script("Object.defineProperty(navigator, 'onLine', { get: () => false })")
    dev.page.goto(JOB)
    dev.page.get_by_role("button", name="Sign off").tap()
    expect(dev.page).to_have_url(re.compile("/sign-on/"))


def test_what_waits_stays_through_a_lock_and_says_so(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    session = dev.page.context.cookies()
    lose_signal(dev.page)
    dev.weigh("K-0002", "400", "After, it stays on the car")
    not_sent(dev.page, 1)
    dev.page.context.clear_cookies()  # as after a lock: nobody is signed on
    dev.page.route("**/token/", lambda route: route.abort())
    dev.page.context.set_offline(False)
    dev.page.goto(JOB)
    expect(dev.page).to_have_url(re.compile("/sign-on/"))
    expect(pile(dev.page).locator(".count")).to_contain_text("1 not sent wait on this device.")
    expect(pile(dev.page)).not_to_contain_text("K-0002")

    dev.page.context.add_cookies(session)  # type: ignore[arg-type]
    dev.page.goto("/")
    expect(pile(dev.page).locator(".count")).to_contain_text("They stayed here while you were signed off")
    dev.page.unroute("**/token/")
    expect(pile(dev.page).locator("li")).to_have_count(0)
    assert readings()[-1] == ("K-0002", "400", "after")
    assert CanTicket.objects.order_by("pk").last().by == bay.by  # type: ignore[union-attr]


def test_the_pile_says_that_the_rest_waits_and_that_nothing_was_set_aside(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    lose_signal(dev.page)
    dev.weigh("K-0002", "400", "After, it stays on the car")
    not_sent(dev.page, 1)
    bay.weigh(Container.objects.get(pk="K-0002"), "390", stays_on=True)
    dev.weigh("K-0002", "350", "After, it comes off the car")
    not_sent(dev.page, 2)
    dev.page.route("**/aside/", lambda route: route.abort())
    dev.page.context.set_offline(False)
    expect(pile(dev.page).locator(".count")).to_contain_text("The first was refused: the rest waits")
    pile(dev.page).get_by_role("button", name="Set aside").tap()
    expect(pile(dev.page).locator(".count")).to_contain_text("Not set aside: the server did not answer.")
    with dev.page.expect_response("**/token/"):  # of the next try to send
        pass
    dev.page.wait_for_load_state("networkidle")
    expect(pile(dev.page).locator(".count")).to_contain_text("Not set aside: the server did not answer.")
    not_sent(dev.page, 2)
    assert [text for _, text, _ in readings()][len(BEFORE_IT) :] == ["390"]


def test_copies_are_in_the_language_that_is_read_now(bay: Bay, phone: Phone) -> None:
    dev = ready(phone(bay.by))
    bay.by.language = "es"
    bay.by.save(update_fields=["language"])
    ready_again = ready(dev.page, JOB)
    assert ready_again.page.evaluate(LEFT)["caches"] == [f"tarebook copies of {bay.by.pk} es"]
    lose_signal(dev.page)
    dev.page.goto(CHARGE)
    expect(dev.page.locator("html[data-copy]")).to_have_attribute("lang", "es")
