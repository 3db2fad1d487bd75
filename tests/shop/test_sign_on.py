"""Sign on and sign off."""

from __future__ import annotations

import pytest
from axes.models import AccessAttempt
from django.test import Client
from django.urls import reverse

from tests.factories import PASSWORD, Shop
from tests.pages import errors, send, text

SIGN_ON = "/sign-on/"


def test_a_person_signs_on_and_stands_in_today(shop: Shop, stranger: Client) -> None:
    answer = send(stranger, SIGN_ON, username="dev", password=PASSWORD)

    assert answer.status_code == 302
    assert answer["Location"] == reverse("today")
    assert stranger.get(reverse("cabinet")).status_code == 200


def test_a_phone_that_begins_names_with_a_capital_does_not_matter(shop: Shop, stranger: Client) -> None:
    assert send(stranger, SIGN_ON, username=" Dev ", password=PASSWORD).status_code == 302


def test_a_wrong_password_is_refused_without_saying_which_word_was_wrong(
    shop: Shop, stranger: Client
) -> None:
    wrong = send(stranger, SIGN_ON, username="dev", password="wrong horse battery")
    nobody = send(stranger, SIGN_ON, username="nobody", password="wrong horse battery")

    assert errors(wrong) == errors(nobody) == ["That sign-on name and password do not fit. Type both again."]


def test_a_leaver_does_not_sign_on(shop: Shop, stranger: Client) -> None:
    shop.dev.is_active = False
    shop.dev.save()

    assert send(stranger, SIGN_ON, username="dev", password=PASSWORD).status_code == 200
    assert stranger.get(reverse("cabinet")).status_code == 302


def test_the_wanted_page_is_reached_after_sign_on(shop: Shop, stranger: Client) -> None:
    sent_away = stranger.get(reverse("book:list"))
    answer = send(stranger, sent_away["Location"], username="lee", password=PASSWORD)

    assert answer["Location"] == reverse("book:list")


@pytest.mark.parametrize(
    "wanted", ["https://example.org/", "//example.org", "javascript:alert(1)", "http:///x"]
)
def test_sign_on_leads_to_no_other_site(shop: Shop, stranger: Client, wanted: str) -> None:
    answer = send(stranger, SIGN_ON, username="lee", password=PASSWORD, next=wanted)

    assert answer["Location"] == reverse("today")


def test_somebody_signed_on_is_not_asked_again(shop: Shop, dev: Client) -> None:
    assert dev.get(SIGN_ON)["Location"] == reverse("today")


def test_sign_off_ends_it_and_only_by_its_button(shop: Shop, dev: Client) -> None:
    assert dev.get("/sign-off/").status_code == 405
    assert send(dev, "/sign-off/")["Location"] == reverse("sign-on")
    assert dev.get(reverse("cabinet")).status_code == 302


def test_a_stranger_may_press_sign_off(shop: Shop, stranger: Client) -> None:
    assert send(stranger, "/sign-off/").status_code == 302


def test_five_wrong_passwords_lock_that_name_out(shop: Shop, stranger: Client) -> None:
    for _ in range(5):
        last = send(stranger, SIGN_ON, username="dev", password="wrong horse battery")
    right = send(stranger, SIGN_ON, username="dev", password=PASSWORD)

    assert last.status_code == 429
    assert right.status_code == 429
    assert AccessAttempt.objects.get().failures_since_start >= 5
    assert "dev" not in text(right).split()


@pytest.mark.parametrize(
    "url",
    [
        "/records/",
        "/people/",
        "/equipment/",
        "/house/rules/",
        "/cabinet/",
        "/deliveries/",
        "/counts/",
        "/book/",
    ],
)
def test_a_stranger_is_sent_to_sign_on(db: None, stranger: Client, url: str) -> None:
    assert stranger.get(url)["Location"] == f"/sign-on/?next={url}"


def test_the_words_are_there_for_everybody(db: None, stranger: Client) -> None:
    assert "weigh ticket" in text(stranger.get("/words/"))


def test_no_page_of_somebody_signed_on_is_kept_by_the_browser(shop: Shop, dev: Client) -> None:
    """Going back then brings a new one-time key, so that another reading is not taken for the first one sent twice."""
    assert dev.get("/cabinet/")["Cache-Control"] == "no-store"
