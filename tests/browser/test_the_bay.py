"""At the fender: number keys, answers while typing, clocks, drafts, and how much a straight job asks of a thumb."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from playwright.sync_api import Page, Response, expect

from compliance.models import CanTicket, Draft, Evacuation, OnTheCar
from inventory.models import Container
from shop.models import Person
from tests.browser.conftest import AFTERNOON, DESK, PHONE, Enter, SetClock
from tests.browser.hands import Hands
from tests.browser.test_every_page import faults_of
from tests.compliance.test_bends import rc09
from tests.compliance.work import Bay, Moment
from tests.factories import Shop

__all__ = ["rc09"]
pytestmark = pytest.mark.browser
Measured = Callable[[str, object], None]

MOST_TAPS, MOST_CHARACTERS = 40, 60
LIGHTEST_PAGE = 147_000  # bytes of everything that the charge page loads the first time
MOST_COPIED = 150_000  # bytes beside it that a device keeps for when there is no signal
SMALLEST_TARGET = 64  # pixels, in the bay


@pytest.fixture
def wait(set_clock: SetClock) -> Callable[[int], None]:
    """Let so many minutes pass on the shop's clock."""
    passed = [0]

    def let_pass(minutes: int) -> None:
        passed[0] += minutes
        set_clock(AFTERNOON + timedelta(minutes=passed[0]))

    return let_pass


def at_the_charge(page: Page, *, touch: bool = False) -> Hands:
    page.goto("/bay/J24-0001/charge/")
    return Hands(page, touch=touch)


def key_in(dev: Hands, number: str) -> None:
    """By the number keys of the page."""
    for digit in number:
        dev.press(digit)


# --- The charge page


def test_the_number_keys_type_and_the_page_answers_before_anything_is_kept(bay: Bay, enter: Enter) -> None:
    dev = at_the_charge(enter(bay.by, **PHONE), touch=True)

    key_in(dev, "2934")
    dev.press("Delete the last digit")

    expect(dev.field("reading")).to_have_value("293")
    expect(dev.main.locator("#answer")).to_contain_text("171 g out of the can · 503 g in the car · 0 g to go")
    expect(dev.main.locator("#answer")).to_contain_text("inside the label")
    expect(dev.main.locator("#weigh button.main").first).to_have_text("Keep 293 g")
    assert CanTicket.objects.count() == 3
    assert faults_of(dev.page) == []


def test_the_number_keys_do_not_move_while_the_page_answers(bay: Bay, enter: Enter) -> None:
    dev = at_the_charge(enter(bay.by, **PHONE), touch=True)
    key = dev.main.get_by_role("button", name="5", exact=True)
    before = key.evaluate("key => key.getBoundingClientRect().top + scrollY")

    dev.type_in(reading="10.5")
    dev.sees("10.5 looks like ounces (= 298 g)")

    assert key.evaluate("key => key.getBoundingClientRect().top + scrollY") == before


def test_the_ounces_that_were_meant_are_one_tap_away_without_a_page_load(bay: Bay, enter: Enter) -> None:
    dev = at_the_charge(enter(bay.by, **PHONE), touch=True)
    dev.type_in(reading="10.4")  # 10.4 x 28.349523125 = 294.8

    dev.press("Use 295 g (10.4 oz)")

    dev.sees("ticket 6, K-0002, 10.4 oz")
    assert round(CanTicket.objects.last().ticket.gross.grams) == 295  # type: ignore[union-attr]


def test_digits_that_make_an_overcharge_are_put_right_in_one_tap(bay: Bay, enter: Enter) -> None:
    dev = at_the_charge(enter(bay.by, **PHONE), touch=True)
    dev.type_in(reading="239")
    dev.sees("That puts 557 g in a 500 g car.", "Nothing has been saved yet.")

    dev.press("It says 293 g")

    dev.sees("ticket 6, K-0002, 293 g")


def test_an_overshoot_says_what_next_and_how_each_way_ends(bay: Bay, enter: Enter) -> None:
    dev = at_the_charge(enter(bay.by, **PHONE), touch=True)
    dev.choose("After, it comes off the car")
    dev.type_in(reading="269")  # 195 g out of it, 527 g in the car

    dev.press("Keep 269 g: the scale says so")

    dev.sees("Over by 27 g. What next?", "Recover and charge again", "Recover the excess only")
    dev.sees("RC-02 should weigh 7,966 g: stop at 7,993 g.", "Ends at 500 g.")
    assert faults_of(dev.page) == []
    dev.follow("Recover the excess only")
    dev.type_in(before="7966", after="7993")
    dev.press("Done")
    dev.is_at("Charge")  # under way, so the work goes on there
    dev.sees("recovered back 27.0 g")
    expect(dev.main.locator(".over")).to_have_count(0)


def test_a_can_on_another_car_is_taken_over_in_one_tap(bay: Bay, shop: Shop, enter: Enter) -> None:
    other = Bay.check_in(shop, by=shop.rosa, plate="SMP-300")
    other.up_to_charge_again()
    page = enter(shop.rosa, **PHONE)
    page.goto("/bay/J24-0002/charge/?can=K-0002")
    rosa = Hands(page, touch=True)
    rosa.choose("Before: it goes on the car now")
    rosa.type_in(reading="300")
    rosa.sees("K-0002 is on J24-0001 since")

    rosa.press("Take it over with this weight")

    rosa.sees("Can K-0002 on the car since")
    assert OnTheCar.objects.get().job == other.job


def test_a_scanned_can_in_the_weight_is_the_can(bay: Bay, enter: Enter) -> None:
    dev = at_the_charge(enter(bay.by))
    dev.field("reading").focus()

    dev.page.keyboard.type("K-0003")

    expect(dev.field("container")).to_have_value("K-0003")
    expect(dev.field("reading")).to_have_value("")


def test_nothing_came_out_and_the_gauge_says_why(shop: Shop, cans: list[Container], enter: Enter) -> None:
    Bay.check_in(shop)
    page = enter(shop.dev, **PHONE)
    page.goto("/bay/J24-0001/recovery/")
    dev = Hands(page, touch=True)
    dev.type_in(before="7756", after="7756")
    dev.press("Done")
    dev.sees("Nothing came out: type what the gauge showed before")

    dev.type_in(gauge="0")
    dev.press("Done")

    dev.is_at("Leak check")
    page.goto("/bay/J24-0001/")
    dev.sees("Dev 15:0", ": 0 g")


def test_mixed_refrigerant_stays_out_of_the_good_cylinder(
    shop: Shop, cans: list[Container], rc09: Container, enter: Enter
) -> None:
    Bay.check_in(shop)
    page = enter(shop.dev, **PHONE)
    page.goto("/bay/J24-0001/recovery/")
    dev = Hands(page, touch=True)
    dev.type_in(before="7756", after="7800")
    dev.main.locator("summary", has_text="More").tap()
    dev.pick("The identifier said", "mixed or unknown")
    dev.press("Done")
    dev.sees("never into RC-02, which holds R-134a")

    dev.pick("Into cylinder", "RC-09")
    dev.press("Done")
    dev.is_at("Leak check")
    page.goto("/bay/J24-0001/not-charged/")
    dev.choose("mixed or unknown refrigerant")
    dev.type_in(choice="towed away")
    dev.press("Sign as not charged")

    dev.is_at("C24-0001")
    dev.sees("not charged", "unknown, apart from all other refrigerant", "44 g")


# --- Interruptions


def test_what_was_typed_is_there_again_on_another_device(bay: Bay, shop: Shop, enter: Enter) -> None:
    dev = at_the_charge(enter(bay.by, **PHONE), touch=True)
    dev.type_in(reading="301")
    expect(dev.main.locator("#weigh .draft-kept")).to_contain_text("✎")

    rosa = at_the_charge(enter(shop.rosa, **DESK))

    expect(rosa.field("reading")).to_have_value("301")
    rosa.keep()
    rosa.sees("ticket 6, K-0002, 301 g")
    assert CanTicket.objects.last().by == shop.rosa  # type: ignore[union-attr]
    assert not Draft.objects.filter(kind="charge").exists()


def test_a_clock_runs_through_reload_and_midnight_and_rings_once(
    shop: Shop, cans: list[Container], enter: Enter, set_clock: SetClock
) -> None:
    """In the shop it is ten minutes to midnight when the pump starts, and half past twelve when it stops."""
    bay = Bay.check_in(shop)
    bay.recover()
    bay.leak_check()
    late = AFTERNOON + timedelta(hours=8, minutes=50)
    set_clock(late)
    page = enter(shop.dev, **PHONE)
    page.add_init_script("window.rung = 0; navigator.vibrate = () => { window.rung += 1; return true; };")
    page.goto("/bay/J24-0001/evacuation/")
    dev = Hands(page, touch=True)
    dev.press("Pump: starts now")
    dev.sees("running since 23:50:0", "shop rule until 00:20", "left")

    set_clock(late + timedelta(minutes=30, seconds=2))
    page.reload()

    dev.sees("time is up")
    page.wait_for_function("window.rung === 1")
    page.reload()
    dev.sees("time is up")
    assert page.evaluate("window.rung") == 0  # it rang once, not at every reload
    set_clock(late + timedelta(minutes=40, seconds=40))
    dev.press("Pump: ends now")
    dev.sees("Pump: start again now")
    dev.type_in(deepest="600")
    dev.choose("no hold taken")
    dev.press("Done")
    dev.is_at("Charge")
    assert Evacuation.objects.get().minutes == 40


def test_nothing_is_signed_with_what_somebody_else_typed_but_under_ones_own_name(
    shop: Shop, cans: list[Container], enter: Enter
) -> None:
    Bay.check_in(shop)
    page = enter(shop.dev, **PHONE)
    page.goto("/bay/J24-0001/recovery/")
    dev = Hands(page, touch=True)
    dev.type_in(before="7756", after="7966")
    dev.press("Keep for later")
    dev.sees("kept for later")
    other = enter(shop.rosa, **DESK)
    other.goto("/bay/J24-0001/recovery/")
    rosa = Hands(other)

    rosa.sees("by Dev Larkin; not signed yet. If you press Done, you sign it as Rosa Tamayo.")
    expect(rosa.field("before")).to_have_value("7756")
    rosa.press("Done")
    rosa.is_at("Leak check")
    other.goto("/bay/J24-0001/")

    rosa.sees("Rosa 15:0")


# --- How much is asked of a thumb


def test_a_straight_job_asks_few_taps_and_few_characters(
    cans: list[Container], enter: Enter, wait: Callable[[int], None], record_property: Measured
) -> None:
    """From the bay to the certificate, weights apart; signing on comes before and is not counted."""
    dev = Hands(enter(**PHONE), touch=True, wait=wait)
    dev.sign_on("dev")
    dev.taps = dev.characters = dev.of_weights = 0

    dev.check_in()
    dev.recover()
    dev.leak_check()
    dev.evacuate()
    dev.type_in(reading="466")
    dev.keep()
    dev.sees("ticket 3, K-0001, 466 g")
    dev.type_in(reading="128")
    dev.keep()  # the page expects that the can is empty then
    dev.sees("ticket 4, K-0001, 128 g")
    dev.type_in(reading="464")
    dev.keep()
    dev.sees("ticket 5, K-0002, 464 g")
    assert dev.stop_at() == 296
    dev.type_in(reading="293")
    dev.keep()
    dev.sees("ticket 6, K-0002, 293 g", "car 503.0 g")
    dev.finish_the_charge()
    dev.read_the_vents()
    dev.close()
    dev.is_at("C24-0001")

    record_property(
        "measured",
        f"the straight job on a phone, {dev.taps} taps and {dev.characters} characters"
        f" beside {dev.of_weights} of weights (at most {MOST_TAPS} and {MOST_CHARACTERS}).",
    )
    assert dev.taps <= MOST_TAPS
    assert dev.characters <= MOST_CHARACTERS


def test_the_charge_page_is_light_on_first_load(bay: Bay, enter: Enter, record_property: Measured) -> None:
    page = enter(bay.by, **PHONE)
    sizes: dict[str, int] = {}
    copied: dict[str, int] = {}

    def weigh(answer: Response) -> None:
        if answer.ok:
            of = copied if answer.request.resource_type == "fetch" else sizes
            of[answer.url] = len(answer.body())

    page.on("response", weigh)
    page.goto("/bay/J24-0001/charge/", wait_until="networkidle")
    page.wait_for_selector("#pile[data-kept]", state="attached")

    beside = sum(size for url, size in copied.items() if url not in sizes)
    said = f"the charge page loads {sum(sizes.values()):,} bytes in {len(sizes)} files"
    record_property("measured", f"{said}, and {beside:,} once for when there is no signal.")
    assert len(sizes) >= 6  # page, style sheet, scripts, fonts
    assert sum(sizes.values()) < LIGHTEST_PAGE
    assert 0 < beside < MOST_COPIED


@pytest.mark.parametrize("path", ["charge", "recovery", "leak-check", "evacuation", "final-readings"])
def test_every_target_of_the_bay_fits_a_glove(bay: Bay, enter: Enter, path: str) -> None:
    page = enter(bay.by, **PHONE)
    page.goto(f"/bay/J24-0001/{path}/")
    small = page.evaluate(
        """least => [...document.querySelectorAll("main :is(button, .main, .quiet, label.option, summary,"
          + " input:not([type=hidden], [type=radio], [type=checkbox]), select)")]
          .filter((one) => one.offsetParent && one.getBoundingClientRect().height < least)
          .map((one) => `${one.tagName} ${one.textContent.trim().slice(0, 30)}`)""",
        SMALLEST_TARGET,
    )
    assert small == []


# --- Spanish


def test_the_bay_speaks_spanish_to_who_asked_for_it(bay: Bay, shop: Shop, enter: Enter) -> None:
    Person.objects.filter(pk=shop.rosa.pk).update(language="es")
    shop.rosa.refresh_from_db()
    rosa = at_the_charge(enter(shop.rosa, **PHONE), touch=True)

    rosa.is_at("Carga")
    rosa.type_in(reading="239")

    rosa.sees("en un carro de 500 g")
    expect(rosa.page.locator("html")).to_have_attribute("lang", "es")
    rosa.choose("Después: se quita del carro")
    rosa.press("La báscula marca 293 g")
    rosa.sees("boleta 6, K-0002, 293 g")
    assert CanTicket.objects.last().moment == "after"  # type: ignore[union-attr]


def test_the_verdict_before_the_signature_is_not_cut_off_on_a_phone(bay: Bay, enter: Enter) -> None:
    bay.weigh(Container.objects.get(pk="K-0002"), "296", Moment.AFTER)
    bay.keep_charge()
    page = enter(bay.by, **PHONE)
    page.goto("/bay/J24-0001/close/")
    verdict = page.get_by_text("inside the label's tolerance, shown")
    assert verdict.evaluate(
        "words => words.getBoundingClientRect().right <= words.closest('.ticket').getBoundingClientRect().right"
    )
