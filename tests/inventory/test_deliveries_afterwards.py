"""A delivery afterwards: its invoice, and its undoing."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from inventory.models import Delivery, Invoice, Movement
from inventory.queries import deliveries, shelves
from inventory.services import weigh
from shop.core.mass import ZERO
from shop.models import Establishment
from tests.factories import NOON, Shop, cans_of, receive, ticket_in
from tests.inventory.slips import put_in, slip
from tests.pages import errors, send, text


def test_an_invoice_comes_later_and_moves_no_weight(shop: Shop, lee: Client) -> None:
    delivery = receive(shop)
    before = Movement.objects.count()
    url = reverse("deliveries:invoice", args=[delivery.number])
    send(lee, url, number="550917", dated="2024-04-03", total="598.40")
    right = reverse("deliveries:right", args=[delivery.number, Invoice.objects.get().pk])
    page = text(lee.get(send(lee, right, number="550917", dated="2024-04-03", total="642.18")["Location"]))

    assert "$598.40 ✎ Put right below" in page
    assert "$642.18" in page
    assert Movement.objects.count() == before


@pytest.mark.parametrize(
    ("field", "changed"),
    [
        ("number", {"number": " "}),
        ("dated", {"dated": "soon"}),
        ("total", {"total": "a lot"}),
        ("total", {"total": ""}),
    ],
)
def test_what_is_wrong_with_an_invoice_stands_on_its_field(
    shop: Shop, lee: Client, field: str, changed: dict[str, str]
) -> None:
    url = reverse("deliveries:invoice", args=[receive(shop).number])
    response = send(lee, url, **{"number": "550917", "dated": "2024-04-03", "total": "642.18", **changed})

    assert errors(response, field)
    assert not Invoice.objects.exists()


def test_a_delivery_typed_by_mistake_is_undone_and_may_come_in_again(
    shop: Shop, marta: Client, lee: Client
) -> None:
    put_in(lee, slip(shop))
    delivery = Delivery.objects.get()
    page = text(
        marta.get(send(marta, reverse("deliveries:undo", args=[delivery.number]), why="twice")["Location"])
    )

    assert "Undone" in page
    assert "by Marta Quill: twice." in page
    assert all(shelf.in_cans == ZERO for shelf in shelves(shop.establishment))
    assert put_in(lee, slip(shop)).status_code == 302
    assert Delivery.objects.filter(slip="88412").count() == 2


def test_a_delivery_whose_can_was_weighed_stays(shop: Shop, marta: Client) -> None:
    delivery = receive(shop)
    weigh(cans_of(delivery)[2], ticket_in(shop, "466"), at=NOON, by=shop.dev)
    response = send(marta, reverse("deliveries:undo", args=[delivery.number]), why="typed twice")

    assert "K-0003 of this delivery was already weighed for use" in errors(response, "why")[0]
    assert deliveries(Establishment.objects.get()).get().number == delivery.number


def test_an_undone_delivery_is_not_undone_again(shop: Shop, marta: Client) -> None:
    url = reverse("deliveries:undo", args=[receive(shop).number])
    send(marta, url, why="typed twice")

    assert "already undone" in errors(send(marta, url, why="again"), "why")[0]
    assert errors(send(marta, url, why=" "), "why") == ["This field is required."]
