"""The shared bay PC: who may sign on there and how, and that it locks by itself."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from axes.models import AccessAttempt
from django.test import Client
from django.utils import timezone
from pytest_django import Settings

from inventory.models import WeighTicket
from shop.models import Station, StationEnd
from shop.services import change_rule, end_quick_sign_on, end_station
from tests.factories import NOON, PASSWORD, Shop, make_establishment, make_owner
from tests.pages import errors, said, send, text
from tests.shop.bay_pc import (
    PIN,
    WRONG,
    browser_with,
    give_badge,
    give_pin,
    make_bay_pc,
    tap,
    who,
)

DOOR = "/sign-on/"
WEIGH = "/containers/RC-02/weigh/"


@pytest.fixture
def station(shop: Shop) -> tuple[Station, str]:
    give_pin(shop.dev)
    give_pin(shop.rosa, "9142")
    return make_bay_pc(shop)


@pytest.fixture
def bay_pc(station: tuple[Station, str]) -> Client:
    return browser_with(station[1])


def wait(settings: Settings, minutes: float) -> None:
    """Nobody touches anything for so long."""
    settings.PRACTICE_OFFSET += timedelta(minutes=minutes)


# --- Making one and taking it away


def test_the_owner_makes_the_device_in_hand_a_station(shop: Shop, marta: Client) -> None:
    page = marta.get(send(marta, "/stations/new/", name="Bay PC")["Location"])

    assert said(page) == ["This device is the shared station Bay PC now."]
    cookie = marta.cookies["station"]
    assert (cookie["httponly"], cookie["samesite"], cookie["max-age"]) == (True, "Lax", 365 * 24 * 3600)
    assert cookie.value not in str(Station.objects.values())
    assert "Bay PC, this device" in text(page)


def test_a_device_is_made_a_station_once(shop: Shop, marta: Client) -> None:
    send(marta, "/stations/new/", name="Bay PC")
    page = marta.get(send(marta, "/stations/new/", name="Other")["Location"])

    assert said(page)[-1] == "This device is the shared station Bay PC already."
    assert Station.objects.count() == 1


@pytest.mark.parametrize(
    ("name", "words"),
    [("", "required"), (" bay pc ", "There is a station bay pc already. Name this one another way.")],
)
def test_a_station_has_a_name_of_its_own(
    station: tuple[Station, str], marta: Client, name: str, words: str
) -> None:
    answer = send(marta, "/stations/new/", name=name)

    assert words in " ".join(errors(answer, "name"))
    assert "station" not in marta.cookies
    assert Station.objects.count() == 1


@pytest.mark.parametrize("name", ["lee", "dev"])
def test_nobody_else_makes_one(shop: Shop, lee: Client, dev: Client, name: str) -> None:
    client = {"lee": lee, "dev": dev}[name]

    assert send(client, "/stations/new/", name="Bay PC").status_code == 403
    assert "Make this a shared bay station" not in text(client.get("/device/"))


def test_a_station_taken_away_is_a_browser_like_any_other(
    shop: Shop, station: tuple[Station, str], bay_pc: Client, marta: Client
) -> None:
    tap(bay_pc, shop.dev)
    assert who(bay_pc) == "Dev"

    send(marta, f"/stations/{station[0].pk}/end/")

    assert who(bay_pc) == ""
    assert "password" in bay_pc.get(DOOR).context["form"].fields
    assert tap(bay_pc, shop.dev)["Location"] == DOOR
    assert who(bay_pc) == ""
    assert marta.get(f"/stations/{station[0].pk}/end/").status_code == 404
    assert StationEnd.objects.get().by == shop.marta


def test_whoever_signed_on_there_with_a_password_stays(
    shop: Shop, station: tuple[Station, str], bay_pc: Client
) -> None:
    send(bay_pc, "/sign-on/password/", username="dev", password=PASSWORD)
    end_station(station[0], at=NOON, by=shop.marta)

    assert who(bay_pc) == "Dev"


def test_another_shops_station_is_not_there(shop: Shop, station: tuple[Station, str], sign_on: Any) -> None:
    otis = sign_on(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))

    assert otis.get(f"/stations/{station[0].pk}/end/").status_code == 404
    assert "Bay PC" not in text(otis.get("/device/")).replace("Name of the station", "")


# --- Signing on


def test_the_station_asks_who_it_is_and_names_those_who_have_a_pin(shop: Shop, bay_pc: Client) -> None:
    page = bay_pc.get(DOOR)

    assert [one.username for one in page.context["people"]] == ["dev", "rosa"]
    assert "Who is standing here?" in text(page)
    assert "With a password" in text(page)


def test_a_tap_and_the_pin_sign_on(shop: Shop, bay_pc: Client) -> None:
    assert tap(bay_pc, shop.dev)["Location"] == "/cabinet/"
    assert who(bay_pc) == "Dev"


def test_one_scan_of_the_badge_signs_on(shop: Shop, bay_pc: Client) -> None:
    code = give_badge(shop.rosa)

    assert send(bay_pc, f"{DOOR}?next=/bay/", badge=code)["Location"] == "/bay/"
    assert who(bay_pc) == "Rosa"


def test_a_reader_may_write_small_letters_and_dashes(shop: Shop, bay_pc: Client) -> None:
    code = give_badge(shop.rosa)

    send(bay_pc, DOOR, badge=f" {code[:8].lower()}-{code[8:]} ")

    assert who(bay_pc) == "Rosa"


def test_the_password_goes_on_at_a_station(shop: Shop, bay_pc: Client) -> None:
    answer = send(bay_pc, "/sign-on/password/?next=/bay/", username="lee", password=PASSWORD)

    assert answer["Location"] == "/bay/"
    assert who(bay_pc) == "Lee"


@pytest.mark.parametrize("pin", [WRONG, "", "73051", "x" * 9, "٧٣٠٥"])
def test_a_wrong_pin_opens_nothing(shop: Shop, bay_pc: Client, pin: str) -> None:
    assert errors(tap(bay_pc, shop.dev, pin), "pin") != []
    assert who(bay_pc) == ""


def test_a_missing_pin_is_told_as_a_wrong_one(shop: Shop, bay_pc: Client) -> None:
    missing, wrong = tap(bay_pc, shop.lee), tap(bay_pc, shop.dev, WRONG)

    assert errors(missing, "pin") == errors(wrong, "pin") == ["That PIN does not fit. Type it again."]


def test_pin_and_badge_open_nothing_off_a_station(shop: Shop, bay_pc: Client, stranger: Client) -> None:
    code = give_badge(shop.dev)

    assert tap(stranger, shop.dev)["Location"] == DOOR
    send(stranger, DOOR, badge=code)
    assert who(stranger) == ""


@pytest.mark.parametrize("token", ["x", "", "a" * 5000, "ü"])
def test_a_made_up_token_is_no_station(shop: Shop, bay_pc: Client, token: str) -> None:
    elsewhere = browser_with(token)

    tap(elsewhere, shop.dev)

    assert who(elsewhere) == ""
    assert elsewhere.get(DOOR).status_code == 200


def test_a_session_taken_from_the_station_to_another_browser_is_worth_nothing(
    shop: Shop, bay_pc: Client
) -> None:
    tap(bay_pc, shop.dev)
    elsewhere = Client()
    elsewhere.cookies["sessionid"] = bay_pc.cookies["sessionid"].value

    assert who(elsewhere) == ""


def test_people_of_another_shop_are_neither_named_nor_let_in(shop: Shop, bay_pc: Client) -> None:
    otis = make_owner(make_establishment("Red Mesa Auto"), "Otis Vale")
    give_pin(otis)
    code = give_badge(otis)

    assert "Otis" not in text(bay_pc.get(DOOR))
    assert tap(bay_pc, otis).status_code == 404
    assert errors(send(bay_pc, DOOR, badge=code), "badge") != []
    assert who(bay_pc) == ""


def test_a_leaver_is_neither_named_nor_let_in(shop: Shop, bay_pc: Client) -> None:
    code = give_badge(shop.dev)
    shop.dev.is_active = False
    shop.dev.save()

    assert "Dev" not in text(bay_pc.get(DOOR))
    assert tap(bay_pc, shop.dev).status_code == 404
    send(bay_pc, DOOR, badge=code)
    assert who(bay_pc) == ""


def test_what_was_taken_away_opens_nothing(shop: Shop, bay_pc: Client) -> None:
    code = give_badge(shop.dev)
    end_quick_sign_on(shop.dev, at=NOON, by=shop.marta)

    assert "Dev" not in text(bay_pc.get(DOOR))
    tap(bay_pc, shop.dev)
    send(bay_pc, DOOR, badge=code)
    assert who(bay_pc) == ""


@pytest.mark.parametrize("wanted", ["https://example.org/", "//example.org", "javascript:alert(1)"])
def test_the_pin_leads_to_no_other_site(shop: Shop, bay_pc: Client, wanted: str) -> None:
    assert tap(bay_pc, shop.dev, wanted=wanted)["Location"] == "/"


# --- Too many wrong tries


def test_a_wrong_pin_five_times_closes_the_keypad(shop: Shop, bay_pc: Client) -> None:
    answers = [tap(bay_pc, shop.dev, WRONG).status_code for _ in range(5)]
    right = tap(bay_pc, shop.dev)

    assert answers == [200, 200, 200, 200, 429]
    assert right.status_code == 429
    assert "opens again in 15 minutes" in text(right)
    assert who(bay_pc) == ""


def test_the_keypad_of_the_others_and_the_password_stay_open(shop: Shop, bay_pc: Client) -> None:
    for _ in range(5):
        tap(bay_pc, shop.dev, WRONG)

    assert tap(bay_pc, shop.rosa, "9142").status_code == 302
    send(bay_pc, "/sign-off/")
    assert send(bay_pc, "/sign-on/password/", username="dev", password=PASSWORD).status_code == 302


def test_the_keypad_opens_again_after_a_quarter_of_an_hour(shop: Shop, bay_pc: Client) -> None:
    for _ in range(5):
        tap(bay_pc, shop.dev, WRONG)
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=15, seconds=1))

    assert tap(bay_pc, shop.dev).status_code == 302


def test_the_right_pin_begins_the_count_anew(shop: Shop, bay_pc: Client) -> None:
    for _ in range(2):
        for _ in range(4):
            tap(bay_pc, shop.dev, WRONG)
        assert tap(bay_pc, shop.dev).status_code == 302
        send(bay_pc, "/lock/")


def test_five_wrong_badges_close_the_reader(shop: Shop, bay_pc: Client) -> None:
    code = give_badge(shop.dev)
    answers = [send(bay_pc, DOOR, badge="WRONG").status_code for _ in range(5)]

    assert answers == [200, 200, 200, 200, 429]
    assert send(bay_pc, DOOR, badge=code).status_code == 429
    assert tap(bay_pc, shop.dev).status_code == 302


def test_what_was_typed_wrongly_is_not_kept(shop: Shop, bay_pc: Client) -> None:
    tap(bay_pc, shop.dev, "73050")
    send(bay_pc, DOOR, badge="SOMETHING")

    kept = str(list(AccessAttempt.objects.values()))
    assert "PIN of dev" in kept
    assert "73050" not in kept
    assert "SOMETHING" not in kept


# --- It locks by itself


def test_after_five_minutes_without_a_request_the_station_asks_again(
    shop: Shop, bay_pc: Client, settings: Settings
) -> None:
    tap(bay_pc, shop.dev)
    wait(settings, 4.9)
    assert bay_pc.get("/cabinet/").status_code == 200
    wait(settings, 5)

    answer = bay_pc.get("/cabinet/?kind=can")

    assert answer["Location"] == "/sign-on/?next=/cabinet/%3Fkind%3Dcan"
    assert who(bay_pc) == ""


def test_the_lock_says_since_when_in_the_shops_own_time(
    shop: Shop, bay_pc: Client, settings: Settings
) -> None:
    settings.PRACTICE_OFFSET = NOON - timezone.now() - timedelta(minutes=13)  # 11:47 in the shop
    tap(bay_pc, shop.dev)
    wait(settings, 30)

    page = text(bay_pc.get(bay_pc.get("/cabinet/")["Location"]))

    assert "Locked at 11:52." in page
    assert "What was typed" not in page  # nobody said so


def test_whoever_signs_on_next_lands_on_the_same_page_under_their_own_name(
    shop: Shop, bay_pc: Client, settings: Settings
) -> None:
    tap(bay_pc, shop.dev)
    wait(settings, 6)
    door = bay_pc.get(bay_pc.get("/people/?x=1")["Location"]).content.decode()
    (name,) = re.findall(f'href="(/sign-on/{shop.rosa.pk}/[^"]*)"', door)

    answer = send(bay_pc, name, pin="9142")

    assert answer["Location"] == "/people/?x=1"
    assert who(bay_pc) == "Rosa"
    assert "Locked" not in text(bay_pc.get("/people/"))


def test_what_is_sent_to_a_locked_station_is_not_written_and_not_lost_silently(
    shop: Shop, bay_pc: Client, settings: Settings
) -> None:
    tap(bay_pc, shop.dev)
    wait(settings, 6)

    answer = send(bay_pc, WEIGH, scale=shop.scale.pk, reading="7900")

    assert answer["Location"] == f"/sign-on/?next={WEIGH}"
    assert "What was sent just now was not saved." in text(bay_pc.get(answer["Location"]))
    assert tap(bay_pc, shop.rosa, "9142", wanted=WEIGH)["Location"] == WEIGH
    again = bay_pc.get(WEIGH)
    assert said(again) == ["This was not saved: the station had locked. Look at it and keep it again."]
    assert said(bay_pc.get(WEIGH)) == []
    assert not WeighTicket.objects.exists()


def test_the_page_of_somebody_who_was_signed_off_writes_under_nobodys_name(
    shop: Shop, settings: Settings
) -> None:
    """Rosa has signed on in another tab; Dev's old page does not sign as her."""
    give_pin(shop.dev)
    give_pin(shop.rosa, "9142")
    bay_pc = Client(enforce_csrf_checks=True)
    bay_pc.cookies["station"] = make_bay_pc(shop)[1]

    def token(page: str) -> str:
        return str(bay_pc.get(page).context["csrf_token"])

    door = f"/sign-on/{shop.dev.pk}/"
    send(bay_pc, door, pin=PIN, csrfmiddlewaretoken=token(door))
    old = token(WEIGH)
    wait(settings, 6)
    bay_pc.get("/cabinet/")
    door = f"/sign-on/{shop.rosa.pk}/"
    send(bay_pc, door, pin="9142", csrfmiddlewaretoken=token(door))
    assert who(bay_pc) == "Rosa"

    answer = send(bay_pc, WEIGH, scale=shop.scale.pk, reading="7900", csrfmiddlewaretoken=old)

    assert answer.status_code == 403
    assert "The page was open too long" in text(answer)
    assert not WeighTicket.objects.exists()
    send(bay_pc, WEIGH, scale=shop.scale.pk, reading="7900", csrfmiddlewaretoken=token(WEIGH))
    assert WeighTicket.objects.get().by == shop.rosa


def test_the_lock_button_signs_off_at_once_and_keeps_the_page(shop: Shop, bay_pc: Client) -> None:
    tap(bay_pc, shop.dev)
    assert "Lock" in text(bay_pc.get("/cabinet/"))

    answer = send(bay_pc, "/lock/", next="/cabinet/", kept="yes")

    assert answer["Location"] == "/sign-on/?next=/cabinet/"
    assert "What was typed on this page is kept." in text(bay_pc.get(answer["Location"]))
    assert who(bay_pc) == ""
    assert bay_pc.get("/lock/").status_code == 405


def test_the_rule_of_the_shop_says_how_long(shop: Shop, bay_pc: Client, settings: Settings) -> None:
    today = timezone.localdate()
    change = {"key": "lock_minutes", "value": "12", "basis": "long holds", "from_day": today}
    change_rule(shop.establishment, **change, today=today, at=NOON, by=shop.marta)  # type: ignore[arg-type]
    tap(bay_pc, shop.dev)
    wait(settings, 11)

    assert bay_pc.get("/cabinet/").status_code == 200
    wait(settings, 13)
    assert bay_pc.get("/cabinet/").status_code == 302


def test_somebody_signed_on_by_password_locks_at_a_station_too(
    shop: Shop, bay_pc: Client, settings: Settings
) -> None:
    send(bay_pc, "/sign-on/password/", username="marta", password=PASSWORD)
    bay_pc.get("/")
    wait(settings, 6)

    assert bay_pc.get("/")["Location"] == "/sign-on/?next=/"


def test_a_phone_of_ones_own_does_not_lock(shop: Shop, dev: Client, settings: Settings) -> None:
    dev.get("/cabinet/")
    wait(settings, 60)

    assert dev.get("/cabinet/").status_code == 200
    assert "Sign off" in text(dev.get("/cabinet/"))


def test_a_locked_station_tells_a_program_no_and_shows_the_open_pages(
    shop: Shop, bay_pc: Client, settings: Settings
) -> None:
    tap(bay_pc, shop.dev)
    wait(settings, 6)

    assert bay_pc.get("/api/papers/").status_code == 401
    assert bay_pc.get("/words/").status_code == 200
    assert bay_pc.get("/nowhere/").status_code == 404
