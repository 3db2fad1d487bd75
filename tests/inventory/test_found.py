"""A can with no number in a drawer: a difference, not a purchase, and no car gets it before the owner has looked."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from inventory.models import Container, CountLine, FoundCan, Movement
from inventory.queries import usable_cans
from inventory.services import CountedIn, CountIn, FoundIn, LineIn, accept_found, find_can, record_count
from shop.core.findings import Refused
from shop.core.mass import grams
from tests.compliance.pictures import picture_of
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, cans_of, receive, ticket_in
from tests.pages import errors, send, text

NEW = "/containers/found/"


def find(shop: Shop, weight: str = "286") -> FoundCan:
    found = FoundIn(shop.can12, "R-134a 12 oz", "bottom drawer", ticket_in(shop, weight))
    return find_can(found, shop.establishment, on=DAY, at=NOON, by=shop.lee)


def typed(shop: Shop, **changed: Any) -> dict[str, Any]:
    right = {
        "printed": "R-134a, 12 oz",
        "type": shop.can12.pk,
        "where": "bottom drawer",
        "scale": shop.scale.pk,
        "reading": "286",
    }
    return {**right, **changed}


def test_what_a_found_can_holds_is_a_difference_and_no_purchase(shop: Shop) -> None:
    found = find(shop)
    movement = Movement.objects.get(target=found.container_id)

    # 286 g less a shell of 126 g
    assert (movement.source_id, movement.mass, movement.purpose) == ("unexplained", grams(160), "counted")
    assert not hasattr(found.container, "delivered")


def test_a_found_can_that_is_empty_moves_nothing(shop: Shop) -> None:
    assert find(shop, "125").entry.movements.count() == 0


def test_no_job_is_offered_a_found_can_until_the_owner_accepts_it(shop: Shop) -> None:
    found = find(shop)
    assert not usable_cans(shop.establishment, "R-134a").exists()
    with pytest.raises(Refused, match="Only the owner"):
        accept_found(found, why="our own kind", at=NOON, by=shop.lee)
    with pytest.raises(Refused, match="Say why"):
        accept_found(found, why="", at=NOON, by=shop.marta)

    accept_found(found, why="our own kind", at=NOON, by=shop.marta)
    assert usable_cans(shop.establishment, "R-134a").get().pk == "K-0001"
    with pytest.raises(Refused, match="accepted already"):
        accept_found(found, why="again", at=NOON, by=shop.marta)


def test_a_found_can_with_its_photo_stands_on_its_page(shop: Shop, lee: Client, sign_on: SignOn) -> None:
    photo = SimpleUploadedFile("can.jpg", picture_of("R-134a SAMPLE"), "image/jpeg")
    page = text(lee.get(send(lee, NEW, **typed(shop), photo=photo)["Location"]))
    assert "Origin unknown" in page
    assert "Found Apr" in page.replace(f"{FoundCan.objects.get().at:%b}", "Apr")
    picture = lee.get("/containers/K-0001/found.jpg")
    assert (picture.status_code, picture["Content-Type"]) == (200, "image/jpeg")

    marta = sign_on(shop.marta)
    assert lee.get("/containers/K-0001/accept/").status_code == 403
    page = text(marta.get(send(marta, "/containers/K-0001/accept/", why="our own kind")["Location"]))
    assert "Accepted by Marta Quill" in page


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("type", "", "Choose the kind of can"),
        ("printed", "", "required"),
        ("where", "x", "Say where it was found"),
        ("reading", "60", "cannot weigh less"),
        ("reading", "4660", "weighs about"),
        ("reading", "", "Type what the scale shows"),
    ],
)
def test_what_is_wrong_with_it_is_said_and_nothing_is_kept(
    shop: Shop, lee: Client, field: str, value: str, sentence: str
) -> None:
    assert sentence in " ".join(errors(send(lee, NEW, **typed(shop, **{field: value})), field))
    assert not Container.objects.filter(kind="can").exists()


def test_a_file_that_is_no_photo_is_refused(shop: Shop, lee: Client) -> None:
    sent = SimpleUploadedFile("can.jpg", b"no picture", "image/jpeg")
    assert "not a whole photo" in " ".join(errors(send(lee, NEW, **typed(shop), photo=sent), "photo"))


def test_it_is_asked_whether_it_is_one_that_a_count_missed(shop: Shop, lee: Client) -> None:
    [can] = cans_of(receive(shop, LineIn(shop.can12, 1, 1)))
    counted = CountIn(DAY, [CountedIn(can, CountLine.How.MISSING)])
    record_count(counted, shop.establishment, at=NOON, by=shop.lee)

    assert "Is it one of these, with its number rubbed off?" in text(lee.get(NEW))
