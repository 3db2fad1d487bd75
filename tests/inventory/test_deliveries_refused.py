"""Receive: the same slip twice, and what cannot be."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from inventory.models import Container, Delivery
from tests.factories import NOON, Shop
from tests.inventory.slips import NEW, put_in, slip
from tests.pages import errors, send

# --- The same slip twice


def test_the_same_slip_twice_shows_the_first_delivery(shop: Shop, lee: Client, marta: Client) -> None:
    put_in(lee, slip(shop))
    first = Delivery.objects.get()
    response = put_in(marta, slip(shop, slip=" 88412 "))

    assert f"is already in: {first.number}" in errors(response, "slip")[0]
    assert f'href="/deliveries/{first.number}/"' in response.content.decode()
    assert Delivery.objects.count() == 1
    assert Container.objects.filter(kind="can").count() == 36


def test_the_same_number_from_another_supplier_is_another_slip(shop: Shop, lee: Client) -> None:
    from inventory.services import SupplierIn, add_supplier

    other = add_supplier(SupplierIn("Example Cold Goods"), shop.establishment, at=NOON, by=shop.lee)
    put_in(lee, slip(shop))
    put_in(lee, slip(shop, supplier=other.pk))

    assert Delivery.objects.count() == 2


def test_a_double_tap_receives_once(shop: Shop, lee: Client) -> None:
    data = slip(shop) | {"counted": f"{shop.can12.pk}:36:36:0"}
    first = send(lee, NEW, once="same", do="save", **data)
    second = send(lee, NEW, once="same", do="save", **data)

    assert first["Location"] == second["Location"]
    assert Delivery.objects.count() == 1


# --- What cannot be


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("supplier", {"supplier": ""}, "required"),
        ("supplier", {"supplier": "999999"}, "Select a valid choice"),
        ("slip", {"slip": "   "}, "required"),
        ("slip", {"slip": "8" * 41}, "at most 40"),
        ("slip", {"slip": "88\x00412"}, "Null characters"),
        ("on", {"on": ""}, "Pick the day."),
        ("on", {"on": "2024-02-30"}, "Type the day"),
        ("on", {"on": "2024-04-02"}, "more than a year ago"),
        ("asked", {"asked": "maybe"}, "Select a valid choice"),
        ("asked_of", {"asked": "card shown"}, "Type whose 609 card was shown."),
        ("asked_of", {"asked": "card shown", "asked_of": "Nobody"}, "Select a valid choice"),
        ("type_0", {"type_0": ""}, "Choose the kind of can."),
        ("type_0", {"type_0": "999999"}, "Select a valid choice"),
        ("cases_0", {"cases_0": ""}, "how many cases or single cans"),
        ("cases_0", {"cases_0": "0"}, "how many cases or single cans"),
        ("cases_0", {"cases_0": "-3"}, "from 0 to 500"),
        ("cases_0", {"cases_0": "three"}, "whole number"),
        ("cases_0", {"cases_0": "2.5"}, "whole number"),
        ("cases_0", {"cases_0": "1e99"}, "from 0 to 500"),
        ("cases_0", {"cases_0": "NaN"}, "whole number"),
        ("cans_0", {"cans_0": "2001"}, "from 0 to 2000"),
        ("sound_0", {"cases_0": "200"}, "Type cases and cans apart"),
        ("sound_0", {"sound_0": "37"}, "are more than the 36 on the slip"),
        ("sound_0", {"sound_0": "36", "damaged_0": "1"}, "are more than the 36 on the slip"),
        ("sound_0", {"sound_0": "0", "damaged_0": "0"}, "no can came"),
        ("damaged_0", {"damaged_0": "-1"}, "from 0 to"),
        ("lots_0", {"lots_0": "L24B-07 x 40"}, "the lots hold 40 cans, but 36 came sound"),
        ("lots_0", {"lots_0": "L24B-07, L25A"}, "how many cans of each lot"),
        ("lots_0", {"lots_0": "L" * 41}, "at most 40 characters"),
        ("total", {"number": "1", "dated": "2024-04-02", "total": "-5"}, "Type dollars"),
        (
            "total",
            {"number": "1", "dated": "2024-04-02", "total": "6.421,80"},
            "Type dollars",
        ),
        (
            "total",
            {"number": "1", "dated": "2024-04-02", "total": "999999999"},
            "At most $100,000",
        ),
    ],
)
def test_what_is_wrong_with_a_slip_stands_on_its_field(
    shop: Shop, lee: Client, field: str, changed: dict[str, str], sentence: str
) -> None:
    response = put_in(lee, slip(shop, **changed))

    assert sentence in " ".join(errors(response, field))
    assert not Delivery.objects.exists()
    assert not Container.objects.filter(kind="can").exists()


def test_a_delivery_of_tomorrow_is_refused(shop: Shop, lee: Client) -> None:
    tomorrow = (timezone.localdate() + timedelta(days=2)).isoformat()

    assert errors(put_in(lee, slip(shop, on=tomorrow)), "on") == [
        "That day has not come yet. Use the day it arrived."
    ]


def test_a_finding_about_a_line_stands_in_the_row_that_was_typed(shop: Shop, lee: Client) -> None:
    """Row 1 is left blank; the second line of the delivery was typed in row 2."""
    response = put_in(lee, slip(shop, rows="3", type_2=shop.can8.pk, cans_2="5", sound_2="6"))

    assert "are more than the 5 on the slip" in errors(response, "sound_2")[0]
    assert errors(response, "sound_1") == []
