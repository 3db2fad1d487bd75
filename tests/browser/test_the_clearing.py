"""The owner clears old records in a browser: no fault on any of the pages, at any step, on a phone or a screen."""

from __future__ import annotations

from datetime import timedelta

from playwright.sync_api import Page

from compliance.models import CheckIn, Clearing
from compliance.services import place_hold
from inventory.models import Container
from tests.browser.conftest import Enter, SetClock
from tests.browser.test_every_page import faults_of
from tests.compliance.clearing_work import AFTER, DUE, NEXT, Owner, archive_on, noon, old_job
from tests.compliance.work import Bay
from tests.factories import Shop, cans_of, receive

WHERE_IT_WAS = ("/bay/J24-0001/", "/papers/C24-0001/2/", "/check/C24-0001/2/")


def an_old_shop(shop: Shop) -> None:
    """Two jobs past their time; the archive holds both, and one was put on hold since."""
    cans: list[Container] = cans_of(receive(shop))
    closing = old_job(shop, cans[0], cans[1])
    other = Bay.check_in(shop, plate="SMP-999", customer="Tobin Marsh", at=closing.at + timedelta(hours=1))
    other.up_to_charge_again()
    other.draw(cans[1], "293", "128", emptied=True)
    other.draw(cans[2], "466", "122")
    other.keep_charge()
    other.finals()
    other.close()
    archive_on(shop)
    place_hold(other.job, why="an insurer wrote", at=noon(AFTER), by=shop.lee)


def seen(page: Page, *addresses: str) -> list[str]:
    faults: list[str] = []
    for address in addresses:
        page.goto(address)
        faults += faults_of(page)
    return faults


def test_each_step_has_no_fault_and_says_how_it_stands(shop: Shop, enter: Enter, set_clock: SetClock) -> None:
    an_old_shop(shop)
    set_clock(noon(AFTER))
    archive = shop.establishment.packages.get()
    page = enter(shop.marta)
    faults = seen(page, "/records/old/", f"/records/old/clear/{archive.pk}/")
    page.get_by_label("SHA-256 of the archive file").fill(archive.sha256)
    faults += pressed(page, "Ask to clear these jobs", "Nothing is hidden yet. Another owner")
    address = f"/records/old/clearings/{Clearing.objects.get().pk}/"

    set_clock(noon(NEXT) + timedelta(hours=1))
    faults += seen(page, f"{address}confirm/")
    page.get_by_label("I know that backups").check()
    faults += pressed(page, "Put the details away", "are off every page")
    faults += seen(page, f"{address}undo/", f"{address}clear/", *WHERE_IT_WAS, "/find/?q=Calloway")

    set_clock(noon(DUE))
    faults += seen(page, address, f"{address}clear/")
    page.get_by_label("I know that nothing here").check()
    faults += pressed(page, "Clear for good", "The details are gone from here")
    assert faults + seen(page, *WHERE_IT_WAS, "/records/old/") == []
    assert [one.customer for one in CheckIn.objects.order_by("pk")] == ["(cleared)", "Tobin Marsh"]


def pressed(page: Page, button: str, answer: str) -> list[str]:
    page.get_by_role("button", name=button).click()
    page.get_by_text(answer).wait_for()
    return faults_of(page)


def test_the_way_back_is_one_button_with_a_reason(shop: Shop, enter: Enter, set_clock: SetClock) -> None:
    an_old_shop(shop)
    clearing = Owner(shop).ask(shop.establishment.packages.get())
    Owner(shop).confirm(clearing)
    set_clock(noon(NEXT) + timedelta(hours=1))
    page = enter(shop.marta)
    page.goto(f"/records/old/clearings/{clearing.pk}/")
    page.get_by_role("link", name="Bring everything back").click()
    page.get_by_label("Why").fill("the buyer asked for the history")
    page.get_by_role("button", name="Bring everything back").click()
    page.get_by_text("Every detail stands where it stood").first.wait_for()
    assert CheckIn.objects.order_by("pk")[0].customer == "Ines Calloway"
