"""The count on a phone and at the desk; what becomes of cans; a can in a drawer."""

from __future__ import annotations

import pytest

from inventory.models import Container, Count, CountDraft, Disposal, FoundCan
from inventory.services import weigh
from tests.browser.conftest import DESK, PHONE, Enter
from tests.browser.hands import Hands
from tests.browser.test_every_page import faults_of
from tests.compliance.work import Bay, Moment
from tests.factories import NOON, Shop, book_of, cans_of, receive, ticket_in

pytestmark = pytest.mark.browser


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    """Six 12-oz cans: K-0001 is open and weighs 300 g, K-0002 hangs on a car since it weighed 466 g."""
    made = cans_of(receive(shop))
    weigh(made[0], ticket_in(shop, "466"), at=NOON, by=shop.dev)
    weigh(made[0], ticket_in(shop, "300"), at=NOON, by=shop.dev)
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    bay.weigh(made[1], "466", Moment.BEFORE)
    return made


def scan(hands: Hands, *numbers: str) -> None:
    """A scanner types a number and ends it with Enter."""
    for number in numbers:
        hands.field("scan").fill(number)
        hands.field("scan").press("Enter")


def test_lee_pauses_a_count_on_the_phone_and_marta_signs_it_at_the_desk(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    lee = Hands(enter(shop.lee, **PHONE), touch=True)
    lee.page.goto("/cabinet/")
    lee.follow("Count")
    lee.follow("R-134a only")
    lee.sees("K-0002, on a car with J24-0001")
    lee.main.get_by_label("Count it at its last ticket: 466 g").check()
    scan(lee, "3", "k-0004", "http://shop.example/containers/K-0005/")
    lee.sees("K-0005: 3 / 10")
    scan(lee, "1")
    assert lee.page.evaluate("document.activeElement.name") == "K-0001"
    lee.main.locator("[name='K-0001']").fill("300")
    lee.press("Pause")
    lee.sees("Count of R-134a paused, 5 of 12 found.")

    marta = Hands(enter(shop.marta, **DESK))
    marta.page.goto("/")
    marta.sees("by Lee, 5 of 12 found.")
    marta.follow("Go on")
    marta.sees("by Lee Okonma: 5 of 12 found")
    assert marta.main.locator("[name='K-0001']").input_value() == "300"
    assert marta.main.locator("[value='K-0005']").is_checked()
    marta.main.get_by_label("All 10 are here").check()
    marta.press("Add up")
    marta.sees("12 of 12 found")
    marta.press("Sign the count")
    marta.is_at("Count of Apr 2 2024")

    # K-0001: 300 - 126 = 174 found of 340; K-0002 at its last ticket and ten sealed as expected
    marta.sees("−166 g", "At its last ticket", "RC-02", "waits for J24-0001")
    count = Count.objects.get()
    assert (count.by, count.lines.count(), CountDraft.objects.count()) == (shop.marta, 12, 0)
    assert book_of(shop)["K-0002"].grams == 340


def test_a_count_has_no_fault_added_up_taken_up_or_signed(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    lee = Hands(enter(shop.lee, **PHONE), touch=True)
    lee.page.goto("/counts/new/")
    lee.main.get_by_label("All 10 are here").check()
    lee.press("Add up")
    lee.sees("Left to find", "say above whether it waits")
    faults = faults_of(lee.page)
    weigh(cans[0], ticket_in(shop, "290"), at=NOON, by=shop.dev)
    for address in ("/counts/new/", f"/counts/paused/{CountDraft.objects.get().pk}/drop/", "/cabinet/"):
        lee.page.goto(address)
        faults += faults_of(lee.page)
    lee.page.goto("/counts/new/")
    lee.main.get_by_label("Wait: leave it out of this count").check()
    lee.press("Add up")
    lee.choose("Leave it out of this count")
    lee.press("Sign the count")
    lee.sees("Left out of this count")
    faults += faults_of(lee.page)

    assert faults == []


def test_a_count_without_scripts_finds_a_can_too(shop: Shop, cans: list[Container], enter: Enter) -> None:
    lee = Hands(enter(shop.lee, **PHONE, java_script_enabled=False), touch=True)
    lee.page.goto("/counts/new/?refrigerant=R-134a")
    lee.type_in(scan="7")
    lee.press("Go to it")
    lee.sees("K-0007 is ticked.")
    lee.type_in(scan="9999")
    lee.press("Go to it")
    lee.sees("K-9999 is not among what this count asks for.")
    lee.press("Pause")
    lee.sees("1 of 12 found")


def test_dev_keeps_a_heel_for_the_next_job_and_throws_an_empty_away(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    dev = Hands(enter(shop.dev, **PHONE), touch=True)
    dev.page.goto("/containers/K-0001/")
    dev.follow("What became of it")
    dev.sees("K-0001 still has 340 g in it, more than the shop's limit of 20 g")
    dev.choose("Kept for the next job")
    dev.press("Keep it so")
    dev.sees("What is left in K-0001 is kept for the next job.", "Kept for the next job Dev Larkin")
    dev.sees("By the book 340 g at most, 340 g now. Weigh tickets: 2; the last says 174 g.")
    dev.follow("Weigh tickets")
    dev.sees("Weigh ticket 2: 300 g on SC-1, bare can")


def test_a_found_can_waits_for_the_owner(shop: Shop, cans: list[Container], enter: Enter) -> None:
    dev = Hands(enter(shop.dev, **PHONE), touch=True)
    dev.page.goto("/cabinet/")
    dev.follow("A can was found")
    dev.type_in(printed="R-134a, 12 oz", where="bottom drawer", reading="286")
    dev.main.get_by_label("Kind of can").select_option(label="R-134a 12-oz can, 340 g, case of 12")
    dev.press("Give it a number")
    dev.sees("It is K-0013 now.", "Origin unknown")

    marta = Hands(enter(shop.marta, **DESK))
    marta.page.goto("/")
    marta.follow("Look at it")
    marta.type_in(why="our own kind, seal whole")
    marta.press("It may go on a car")
    marta.sees("Accepted by Marta Quill")
    assert FoundCan.objects.get().accepted.by == shop.marta
    assert not Disposal.objects.exists()
