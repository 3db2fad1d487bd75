"""This device: its look, one's own language, PIN and badge."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

import pytest
from django.conf import settings as conf
from django.db import IntegrityError, transaction
from django.template import Context, Template
from django.test import Client
from django.utils import translation

from inventory.models import WeighTicket
from shop.core.findings import Refused
from shop.core.mass import grams
from shop.core.quick import digest, pin_problems
from shop.models import AuditNote, Badge, BadgeEnd, Pin, PinEnd
from shop.queries import badge_of, pin_of
from shop.services import end_quick_sign_on, set_language, set_pin
from tests.factories import NOON, Shop, receive
from tests.pages import errors, said, send, text
from tests.shop.bay_pc import PIN, browser_with, give_badge, give_pin, make_bay_pc, tap

WEIGH = "/containers/RC-02/weigh/"
HTML = re.compile(r"<html[^>]*>")


def html_of(client: Client, url: str = "/words/") -> str:
    found = HTML.search(client.get(url).content.decode())
    assert found is not None
    return found[0]


# --- Look and thumb side


def test_a_stranger_sees_the_page_as_the_device_asks(db: None, stranger: Client) -> None:
    assert html_of(stranger) == '<html lang="en">'


@pytest.mark.parametrize(
    ("sent", "tag"),
    [
        ({"look": "dark", "thumb": "right"}, '<html lang="en" data-theme="dark">'),
        ({"look": "bright", "thumb": "left"}, '<html lang="en" data-theme="bright" data-thumb="left">'),
        ({"look": "device", "thumb": "right"}, '<html lang="en">'),
    ],
)
def test_the_look_stays_with_the_device_before_sign_on_too(
    db: None, stranger: Client, sent: dict[str, str], tag: str
) -> None:
    page = stranger.get(send(stranger, "/device/", **sent)["Location"])

    assert said(page) == ["Kept on this device."]
    assert html_of(stranger) == tag
    assert stranger.cookies["look"]["max-age"] == 365 * 24 * 3600
    assert stranger.cookies["look"]["httponly"]


def test_the_quick_switch_comes_back_to_its_page_and_leaves_the_thumb_alone(shop: Shop, dev: Client) -> None:
    send(dev, "/device/", look="device", thumb="left")
    switch = {"look": "dark", "thumb": dev.get(WEIGH).context["thumb"]}

    assert send(dev, "/device/", **switch, next=WEIGH)["Location"] == WEIGH
    assert html_of(dev) == '<html lang="en" data-theme="dark" data-thumb="left">'
    assert send(dev, "/device/", **switch, next="https://example.org/")["Location"] == "/device/"


def test_a_look_that_is_none_is_told_and_not_kept(db: None, stranger: Client) -> None:
    answer = send(stranger, "/device/", look="pink", thumb="up")

    assert errors(answer, "look") == ["Look: choose one of the three."]
    assert errors(answer, "thumb") == ["Thumb side: choose right or left."]
    assert "look" not in stranger.cookies
    stranger.cookies["look"] = '"><script>'
    assert html_of(stranger) == '<html lang="en">'


def test_a_stranger_learns_nothing_of_the_shop_there(shop: Shop, stranger: Client) -> None:
    make_bay_pc(shop)

    assert "Bay PC" not in text(stranger.get("/device/"))


# --- Language


def test_everybody_chooses_their_own_language(shop: Shop, dev: Client, rosa: Client) -> None:
    send(rosa, "/device/language/", language="es")

    assert html_of(rosa) == '<html lang="es">'
    assert html_of(dev) == '<html lang="en">'
    note = AuditNote.objects.get(about="language of rosa")
    assert (note.was, note.now, note.by) == ("en", "es", shop.rosa)


def test_before_sign_on_the_browser_is_asked(db: None) -> None:
    assert html_of(Client(headers={"Accept-Language": "es-MX,es;q=0.9,en;q=0.5"})) == '<html lang="es">'
    assert html_of(Client(headers={"Accept-Language": "de-DE,de"})) == '<html lang="en">'


def test_the_door_speaks_one_language(db: None) -> None:
    door = Client(headers={"Accept-Language": "es"}).get("/sign-on/").content.decode()
    assert "Nombre de usuario</label>" in door
    assert "Contraseña</label>" in door
    assert ">Iniciar sesión</button>" in door


def test_the_persons_language_goes_before_the_browsers(shop: Shop, dev: Client) -> None:
    assert HTML.search(dev.get("/words/", headers={"Accept-Language": "es"}).content.decode())[0] == (  # type: ignore[index]
        '<html lang="en">'
    )


def test_a_language_that_we_do_not_have_is_told(shop: Shop, dev: Client) -> None:
    assert errors(send(dev, "/device/language/", language="xx"), "language") == [
        "Language: choose English or Español."
    ]
    with pytest.raises(Refused):
        set_language("xx", at=NOON, by=shop.dev)
    with pytest.raises(IntegrityError, match="person_reads_a_known_language"), transaction.atomic():
        type(shop.dev).objects.filter(pk=shop.dev.pk).update(language="xx")


def test_numbers_look_the_same_and_are_read_the_same_in_spanish(shop: Shop, rosa: Client) -> None:
    receive(shop)
    set_language("es", at=NOON, by=shop.rosa)

    page = text(rosa.get("/cabinet/"))
    send(rosa, "/containers/RC-02/weigh/", scale=shop.scale.pk, reading="7900")

    assert "4,080 g" in page  # twelve cans of 340 g
    assert WeighTicket.objects.get().gross == grams(7900)


def test_what_a_template_writes_by_itself_keeps_its_point_in_spanish() -> None:
    page = Template("{{ share }} {{ share|floatformat:1 }} {{ many }} {{ day }} {{ day|date:'M j Y' }}")

    with translation.override("es"):
        written = page.render(Context({"share": Decimal("1234.5"), "many": 4080, "day": date(2024, 4, 2)}))

    assert written == "1234.5 1234.5 4080 2 abr 2024 Abr 2 2024"


# --- PIN


@pytest.mark.parametrize("pin", ["7305", "2468", "730514", "11112222", "1243", "90210"])
def test_a_pin_that_takes_some_guessing_is_taken(pin: str) -> None:
    assert pin_problems(pin) == []


@pytest.mark.parametrize(
    ("pin", "code"),
    [
        ("", "pin-digits"),
        ("730", "pin-digits"),
        ("730514289", "pin-digits"),
        ("73o5", "pin-digits"),
        ("٧٣٠٥", "pin-digits"),
        ("0000", "pin-same"),
        ("1234", "pin-run"),
        ("87654321", "pin-run"),
        ("7890", "pin-run"),
    ],
)
def test_a_pin_that_anybody_guesses_is_refused(pin: str, code: str) -> None:
    assert [one.code for one in pin_problems(pin)] == [code]


def test_somebody_sets_their_pin_and_only_its_hash_is_kept(shop: Shop, dev: Client) -> None:
    page = dev.get(send(dev, "/device/pin/", pin=PIN, again=PIN)["Location"])

    assert said(page) == ["Your PIN holds from now on, at the shared stations of this shop."]
    held = Pin.objects.get()
    assert (held.person, held.by) == (shop.dev, shop.dev)
    assert held.hashed.startswith("md5$")  # the tests' hasher; a shop's is the one of its passwords
    assert conf.PASSWORD_HASHERS[0].endswith("MD5PasswordHasher")


@pytest.mark.parametrize(
    ("pin", "again", "field", "words"),
    [
        (PIN, "7306", "again", "PIN again: that is another PIN. Type it as above."),
        ("1234", "1234", "pin", "PIN: not a run such as 1234 or 4321; anybody would try that."),
        ("73", "73", "pin", "PIN: 4 to 8 digits."),
    ],
)
def test_a_pin_that_does_not_do_is_told_beside_its_field(
    shop: Shop, dev: Client, pin: str, again: str, field: str, words: str
) -> None:
    assert errors(send(dev, "/device/pin/", pin=pin, again=again), field) == [words]
    assert not Pin.objects.exists()


def test_the_newest_pin_holds(shop: Shop) -> None:
    give_pin(shop.dev)
    give_pin(shop.dev, "9142")
    pc = browser_with(make_bay_pc(shop)[1])

    assert tap(pc, shop.dev).status_code == 200
    assert tap(pc, shop.dev, "9142").status_code == 302


def test_the_database_knows_that_nobody_sets_anothers_pin(shop: Shop) -> None:
    with pytest.raises(IntegrityError, match="pin_is_set_by_its_person"), transaction.atomic():
        Pin.objects.create(person=shop.dev, hashed="x", at=NOON, by=shop.marta)
    with pytest.raises(IntegrityError, match="badge_is_made_by_its_person"), transaction.atomic():
        Badge.objects.create(person=shop.dev, code_sha256="x", at=NOON, by=shop.marta)


@pytest.mark.parametrize("url", ["/device/pin/", "/device/badge/"])
def test_a_pin_makes_no_other_pin_and_no_badge(shop: Shop, url: str) -> None:
    give_pin(shop.dev)
    pc = browser_with(make_bay_pc(shop)[1])
    tap(pc, shop.dev)

    answer = pc.get(send(pc, url, pin="9142", again="9142")["Location"])

    assert said(answer) == ["Sign on with your password first. A PIN or a badge does not make another one."]
    assert Pin.objects.count() == 1
    assert not Badge.objects.exists()


# --- Badge


def test_a_badge_is_shown_once_and_only_its_hash_is_kept(shop: Shop, dev: Client) -> None:
    assert not Badge.objects.exists()
    shown = send(dev, "/device/badge/", once="badge-of-dev")
    code = shown.context["code"]

    assert re.fullmatch("[A-Z2-7]{32}", code)  # 160 bits
    assert code in text(shown)
    assert '<path d="M' in shown.content.decode()
    assert Badge.objects.get().code_sha256 == digest(code)
    again = send(dev, "/device/badge/", once="badge-of-dev")
    assert again["Location"] == "/device/"
    assert code not in text(dev.get("/device/")) + text(dev.get("/device/badge/"))
    assert Badge.objects.count() == 1


def test_two_badges_are_never_alike_and_the_newest_holds(shop: Shop) -> None:
    first, second = give_badge(shop.dev), give_badge(shop.dev)
    pc = browser_with(make_bay_pc(shop)[1])

    assert first != second
    assert send(pc, "/sign-on/", badge=first).status_code == 200
    assert send(pc, "/sign-on/", badge=second).status_code == 302


# --- Taking them away


def test_the_owner_takes_pin_and_badge_away_and_the_person_may_set_new_ones(
    shop: Shop, marta: Client, dev: Client
) -> None:
    give_pin(shop.dev)
    give_badge(shop.dev)
    page_of = f"/people/{shop.dev.pk}/"
    assert "Take away" in text(marta.get(page_of))
    assert "Take away" not in text(dev.get(page_of))

    page = marta.get(send(marta, f"{page_of}quick/")["Location"])

    assert said(page) == ["PIN and badge of Dev Larkin hold no more."]
    assert (pin_of(shop.dev), badge_of(shop.dev)) == (None, None)
    assert PinEnd.objects.get().by == BadgeEnd.objects.get().by == shop.marta
    give_pin(shop.dev)
    assert pin_of(shop.dev) is not None


def test_an_older_pin_does_not_come_back(shop: Shop) -> None:
    give_pin(shop.dev)
    give_pin(shop.dev, "9142")
    end_quick_sign_on(shop.dev, at=NOON, by=shop.marta)

    assert pin_of(shop.dev) is None


def test_there_is_nothing_to_take_from_somebody_who_has_neither(shop: Shop, marta: Client) -> None:
    assert errors(send(marta, f"/people/{shop.dev.pk}/quick/")) == [
        "Dev Larkin has neither a PIN nor a badge."
    ]


@pytest.mark.parametrize("name", ["lee", "dev"])
def test_only_the_owner_takes_them_away(shop: Shop, lee: Client, dev: Client, name: str) -> None:
    give_pin(shop.dev)

    assert send({"lee": lee, "dev": dev}[name], f"/people/{shop.dev.pk}/quick/").status_code == 403
    assert pin_of(shop.dev) is not None


def test_nobody_sets_a_pin_that_the_service_was_not_asked_to_check(shop: Shop) -> None:
    with pytest.raises(Refused, match="not the same digit"):
        set_pin("5555", at=NOON, by=shop.dev)
