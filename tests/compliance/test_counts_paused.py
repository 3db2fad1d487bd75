"""A count that is paused: kept on the server, gone on with by anybody in the office, asked again where things moved."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from inventory.models import Container, Count, CountDraft
from inventory.services import MoveIn, add_spot, end_use, move_containers, weigh
from shop.models import AuditNote
from tests.conftest import SignOn
from tests.factories import NOON, Shop, cans_of, receive, ticket_in
from tests.pages import errors, send, text

NEW = "/counts/new/"


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    """Twelve 12-oz cans; K-0001 is open and weighed 300 g."""
    made = cans_of(receive(shop))
    weigh(made[0], ticket_in(shop, "466"), at=NOON, by=shop.dev)
    weigh(made[0], ticket_in(shop, "300"), at=NOON, by=shop.dev)
    return made


@pytest.fixture
def marta(shop: Shop, sign_on: SignOn) -> Client:
    return sign_on(shop.marta)


def half(shop: Shop, **more: Any) -> dict[str, Any]:
    """Two sealed cans ticked and the open one weighed: 3 of 14 found."""
    return {"lot_0": ["K-0002", "K-0003"], "scale": shop.scale.pk, "K-0001": "300", **more}


def test_a_paused_count_is_gone_on_with_by_the_owner(
    shop: Shop, cans: list[Container], lee: Client, marta: Client
) -> None:
    send(lee, NEW, do="pause", **half(shop))
    assert not Count.objects.exists()
    for address in ("/cabinet/", "/", "/counts/"):
        assert "by Lee, 3 of 14 found" in text(marta.get(address)), address
    page = marta.get(NEW)
    form = page.context["form"]

    assert "by Lee Okonma: 3 of 14 found" in text(page)
    assert (form["K-0001"].value(), form["lot_0"].value()) == ("300", ["K-0002", "K-0003"])
    draft = CountDraft.objects.get()
    send(marta, NEW, do="sign", version=draft.version, rest="leave out", **half(shop))
    assert Count.objects.get().by == shop.marta
    assert not CountDraft.objects.exists()


def test_adding_up_keeps_the_count(shop: Shop, cans: list[Container], lee: Client) -> None:
    words = text(send(lee, NEW, do="add up", **half(shop)))

    # 2 x 340 sealed and 300 - 126 open
    assert "Counted so far 854 g 30.1 oz; 3 of 14 found" in words
    assert (CountDraft.objects.get().found, CountDraft.objects.get().asked) == (3, 14)


def test_what_was_weighed_or_left_since_is_asked_again(
    shop: Shop, cans: list[Container], lee: Client, marta: Client
) -> None:
    send(lee, NEW, do="pause", **half(shop))
    weigh(cans[0], ticket_in(shop, "290"), at=NOON, by=shop.dev)
    end_use(cans[1], "returned", why="RS24-0001", at=NOON, by=shop.lee)
    page = marta.get(NEW)

    words = text(page)
    assert "Something happened since to K-0001 . Answer it again." in words
    assert "No longer asked for: K-0002" in words
    assert (page.context["form"]["K-0001"].value(), page.context["form"]["lot_0"].value()) == (
        None,
        ["K-0003"],
    )


def test_two_who_count_at_once_do_not_write_over_each_other(
    shop: Shop, cans: list[Container], lee: Client, marta: Client
) -> None:
    send(lee, NEW, do="pause", **half(shop))
    response = send(marta, NEW, do="pause", version=0, lot_0=["K-0005"])

    assert "Lee Okonma kept this count at" in errors(response)[0]
    assert CountDraft.objects.get().typed["here"] == ["K-0002", "K-0003"]
    send(marta, NEW, do="pause", version=CountDraft.objects.get().version, lot_0=["K-0005"])
    assert CountDraft.objects.get().typed["here"] == ["K-0005"]


def test_nobody_signs_past_what_somebody_else_kept_meanwhile(
    shop: Shop, cans: list[Container], lee: Client, marta: Client
) -> None:
    send(lee, NEW, do="pause", **half(shop))
    signed = {"do": "sign", "all_lot_0": "on", "rest": "leave out"}
    response = send(marta, NEW, version="0", **signed)
    assert "Lee Okonma kept this count at" in errors(response)[0]
    assert not Count.objects.exists()

    send(marta, NEW, version=str(CountDraft.objects.get().version), **signed)
    assert (Count.objects.count(), CountDraft.objects.count()) == (1, 0)


def test_a_double_tap_on_pause_is_one_pause(shop: Shop, cans: list[Container], lee: Client) -> None:
    for _ in range(2):
        assert send(lee, NEW, do="pause", **half(shop)).status_code == 302
    assert CountDraft.objects.count() == 1


def test_a_paused_count_is_dropped_and_that_is_noted(
    shop: Shop, cans: list[Container], lee: Client, dev: Client
) -> None:
    send(lee, NEW, do="pause", **half(shop))
    address = f"/counts/paused/{CountDraft.objects.get().pk}/drop/"
    assert "with 3 of 14 found" in text(lee.get(address))
    assert send(dev, address).status_code == 403
    send(lee, address)

    assert not CountDraft.objects.exists()
    assert AuditNote.objects.filter(now="dropped", by=shop.lee).exists()


def test_one_refrigerant_is_counted_by_itself(shop: Shop, cans: list[Container], lee: Client) -> None:
    page = lee.get(f"{NEW}?refrigerant=R-134a")

    assert {"K-0001", "RC-02"} <= set(page.context["form"].fields)
    assert "RC-05" not in page.context["form"].fields
    send(lee, f"{NEW}?refrigerant=R-134a", do="pause", **half(shop))
    assert CountDraft.objects.get().title == "R-134a"
    assert "Count of R-134a paused" in text(lee.get("/cabinet/"))


def test_a_scanned_sealed_can_is_ticked_and_an_open_one_is_gone_to(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    page = send(lee, NEW, do="scan", scan="5", **half(shop))
    assert "K-0005 is ticked." in text(page)
    assert page.context["form"]["lot_0"].value() == ["K-0002", "K-0003", "K-0005"]

    page = send(lee, NEW, do="scan", scan="https://shop.example/containers/K-0001/", version=1)
    assert page.context["form"].fields["K-0001"].widget.attrs["autofocus"]
    page = send(lee, f"{NEW}?refrigerant=R-1234yf", do="scan", scan="K-0005")
    assert "K-0005 is R-134a; this is the count of R-1234yf. Put it where it belongs." in text(page)
    assert "K-9999 is not among what this count asks for." in text(
        send(lee, NEW, do="scan", scan="9999", version=2)
    )


def test_the_list_follows_the_shelves(shop: Shop, cans: list[Container], lee: Client) -> None:
    van = add_spot("blue van", "van", shop.establishment, at=NOON, by=shop.lee)
    move_containers(MoveIn([cans[0], cans[5], cans[6]], van, at_once=True), at=NOON, by=shop.lee)
    words = text(lee.get(NEW))

    assert "blue van: R-134a 12-oz can, no lot All 2 are here" in words
    assert "Blue van K-0001, R-134a" in words


def test_the_next_count_opens_with_the_one_before(shop: Shop, cans: list[Container], lee: Client) -> None:
    first = text(lee.get(send(lee, NEW, do="sign", lot_0=["K-0002"], rest="leave out")["Location"]))
    assert "no count before this one. These 340 g are the opening of what comes next." in first

    second = text(lee.get(send(lee, NEW, do="sign", lot_0=["K-0003"], rest="leave out")["Location"]))
    assert f"opening was the count of {Count.objects.earliest('pk').on:%b} " in second
    assert "R-134a opens with the count of" in text(lee.get(NEW))
