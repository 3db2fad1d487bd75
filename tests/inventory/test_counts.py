"""Counts: the pages of the regular count."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from inventory.models import Container, Count, CountLine, Entry, Movement, WeighTicket
from inventory.queries import shelves
from inventory.services import (
    CountedIn,
    CountIn,
    record_count,
)
from shop.core.mass import grams
from tests.conftest import SignOn
from tests.factories import (
    DAY,
    NOON,
    Shop,
    book_of,
)
from tests.pages import errors, send, text

NEW, OPENING = "/counts/new/", "/counts/opening/"


def everything(shop: Shop, **changed: Any) -> dict[str, Any]:
    """All three sealed cans ticked, the open one and both cylinders (17.1 lb, empty) weighed."""
    right = {
        "all_lot_0": "on",
        "scale": shop.scale.pk,
        "K-0001": "300",
        "cylinder_scale": shop.scale.pk,
        "RC-02": "7757",
        "RC-05": "7757",
    }
    return {**right, **changed}


# --- Who may


def test_a_technician_does_not_sign_a_count(shop: Shop, dev: Client) -> None:
    for url in (NEW, OPENING):
        assert dev.get(url).status_code == 403
        assert send(dev, url, do="sign").status_code == 403


@pytest.mark.parametrize("who", ["lee", "dev", "marta"])
def test_everyone_reads_the_counts(shop: Shop, sign_on: SignOn, who: str) -> None:
    assert "The cabinet was never counted." in text(sign_on(getattr(shop, who)).get("/counts/"))


# --- The count


def test_the_expected_weight_is_hidden_until_signed(shop: Shop, cans: list[Container], lee: Client) -> None:
    page = text(lee.get(NEW))
    added_up = text(send(lee, NEW, do="add up", **everything(shop)))

    for words in (page, added_up):
        assert "340 g" not in words
        assert "Expected" not in words
    assert "3 sealed 1,020 g 36.0 oz by label" in added_up
    assert not Count.objects.exists()


def test_what_an_open_can_weighs_is_what_it_holds_from_now_on(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    page = text(lee.get(send(lee, NEW, do="sign", **everything(shop))["Location"]))

    # K-0001: 300 g less a shell of 126 g is 174 g; the book still had 340 g, for no job was closed on it.
    # RC-02: 7757 g less 17.1 lb (7,756.43 g) is 0.57 g. In all 0.57 - 166 = -165.43 g.
    assert "R-134a Difference −165 g" in page
    assert "K-0001 Weighed −166 g" in page
    assert book_of(shop)["K-0001"] == grams(174)
    assert book_of(shop)["K-0002"] == grams(340)


def test_a_count_that_agrees_moves_nothing(shop: Shop, cans: list[Container], lee: Client) -> None:
    send(lee, NEW, do="sign", all_lot_0="on", rest="leave out")

    assert Count.objects.get().entry.movements.count() == 0
    assert book_of(shop)["K-0001"] == grams(340)


def test_a_difference_is_booked_as_a_difference_never_as_charged(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    send(lee, NEW, do="sign", **everything(shop))
    moved = Movement.objects.filter(entry__count__isnull=False)

    assert {row.purpose for row in moved} == {"counted"}
    assert {row.target_id for row in moved if row.source_id == "K-0001"} == {"unexplained"}


def test_every_weighing_of_a_count_is_a_weigh_ticket(shop: Shop, cans: list[Container], lee: Client) -> None:
    send(lee, NEW, do="sign", **everything(shop))

    last = WeighTicket.objects.filter(container="K-0001").last()
    assert last is not None
    assert (last.reading_text, last.reading_unit, last.by) == ("300", "g", shop.lee)
    assert WeighTicket.objects.filter(container="RC-02").count() == 1


def test_what_has_no_answer_has_to_be_explained_first(shop: Shop, cans: list[Container], lee: Client) -> None:
    half: dict[str, Any] = {
        "lot_0": ["K-0002", "K-0003"],
        "all_lot_0": "",
        "scale": shop.scale.pk,
        "K-0001": "300",
    }
    response = send(lee, NEW, do="sign", **half)

    assert errors(response, "rest") == [
        "No tick and no weight for K-0004, RC-02, RC-05. Say what that means."
    ]
    assert not Count.objects.exists()


def test_what_is_left_out_is_not_touched(shop: Shop, cans: list[Container], lee: Client) -> None:
    half: dict[str, Any] = {
        "lot_0": ["K-0002", "K-0003"],
        "scale": shop.scale.pk,
        "K-0001": "300",
        "rest": "leave out",
    }
    send(lee, NEW, do="sign", **half)

    assert book_of(shop)["K-0004"] == grams(340)
    assert sorted(line.container_id for line in CountLine.objects.all()) == ["K-0001", "K-0002", "K-0003"]


def test_what_was_not_found_leaves_the_book_and_may_be_found_again(
    shop: Shop, cans: list[Container], lee: Client, settings: Settings
) -> None:
    data = everything(shop, all_lot_0="", lot_0=["K-0002", "K-0003"], rest="not found")
    page = text(lee.get(send(lee, NEW, do="sign", **data)["Location"]))
    assert "K-0004 Not found −340 g" in page
    [shelf] = [shelf for shelf in shelves(shop.establishment) if shelf.refrigerant == "R-134a"]
    assert (shelf.sealed, [can.code for can in shelf.missing]) == (2, ["K-0004"])
    assert "Not found K-0004" in text(lee.get("/cabinet/"))

    settings.PRACTICE_OFFSET = timedelta(hours=1)
    again = everything(shop, found_again=["K-0004"])
    send(lee, NEW, do="sign", **again)

    assert book_of(shop)["K-0004"] == grams(340)


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("K-0001", {"K-0001": "abc"}, ""),
        ("K-0001", {"K-0001": "-300"}, "below zero"),
        ("K-0001", {"K-0001": "300.5"}, ""),
        ("K-0001", {"K-0001": "10.58"}, ""),
        ("K-0001", {"K-0001": "10.58 oz"}, ""),
        ("K-0001", {"K-0001": "60"}, ""),
        ("K-0001", {"K-0001": "4660"}, ""),
        ("K-0001", {"K-0001": "340"}, "got heavier"),
        ("RC-02", {"RC-02": "7000"}, "less than its stamped tare"),
        ("RC-02", {"RC-02": "77570"}, "cannot hold that much"),
        ("scale", {"scale": ""}, "Choose the scale"),
        ("cylinder_scale", {"cylinder_scale": ""}, "Choose the scale"),
        ("scale", {"scale": "999999"}, "Select a valid choice"),
        ("rest", {"K-0001": "", "rest": "forget it"}, "Select a valid choice"),
        ("lot_0", {"all_lot_0": "", "lot_0": ["K-9999"]}, "Select a valid choice"),
    ],
)
def test_what_is_wrong_with_a_count_stands_on_its_field(
    shop: Shop, cans: list[Container], lee: Client, field: str, changed: dict[str, Any], sentence: str
) -> None:
    tickets = WeighTicket.objects.count()
    response = send(lee, NEW, do="sign", **everything(shop, **changed))

    found = errors(response, field)
    assert found
    assert sentence in " ".join(found)
    assert not Count.objects.exists()
    assert not Entry.objects.filter(text="Count").exists()
    assert WeighTicket.objects.count() == tickets


def test_a_count_signed_by_a_double_tap_is_one_count(shop: Shop, cans: list[Container], lee: Client) -> None:
    first = send(lee, NEW, once="same", do="sign", **everything(shop))
    second = send(lee, NEW, once="same", do="sign", **everything(shop))

    assert first["Location"] == second["Location"]
    assert Count.objects.count() == 1


def test_the_counts_before_stand_beside_the_new_one(
    shop: Shop, cans: list[Container], lee: Client, settings: Settings
) -> None:
    send(lee, NEW, do="sign", **everything(shop))
    settings.PRACTICE_OFFSET = timedelta(hours=1)
    page = text(lee.get(send(lee, NEW, do="sign", **everything(shop, **{"K-0001": "299"}))["Location"]))

    assert "Difference −1 g" in page
    assert "Counts before: −165 g." in page
    assert "Within the shop's limit of 50 g" in page


def test_a_difference_past_the_limit_asks_for_a_look(shop: Shop, cans: list[Container], lee: Client) -> None:
    page = text(lee.get(send(lee, NEW, do="sign", **everything(shop))["Location"]))

    assert "Look More than the shop's limit of 50 g." in page


def test_pages_of_counts_are_in_order(shop: Shop, cans: list[Container], lee: Client) -> None:
    for days in (3, 0):
        record_count(
            CountIn(DAY + timedelta(days=days), [CountedIn(cans[1], CountLine.How.SEALED)]),
            shop.establishment,
            at=NOON + timedelta(days=days),
            by=shop.lee,
        )
    page = text(lee.get("/counts/"))

    assert page.index("Apr 5 2024") < page.index("Apr 2 2024")
    assert lee.get(reverse("counts:page", args=[999999])).status_code == 404
