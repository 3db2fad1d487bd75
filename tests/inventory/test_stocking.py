"""Suppliers, kinds of can, cylinders: their pages and services."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from inventory.models import Container, ContainerType, Entry, Place, Supplier
from inventory.queries import in_the_cabinet
from inventory.services import (
    ContainerTypeIn,
    CylinderIn,
    SupplierIn,
    add_container_type,
    add_cylinder,
    add_supplier,
)
from shop.core.findings import Refused
from shop.core.mass import ZERO, Mass, Unit, ounces
from shop.models import AuditNote
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, make_establishment, reading
from tests.pages import errors, send, text

TYPE = {
    "refrigerant": "R-152a",
    "name": "10-oz can",
    "net": "10",
    "net_unit": "oz",
    "shell": "110",
    "shell_unit": "g",
    "shell_basis": "weighed",
    "cans_per_case": "12",
    "self_sealing": "on",
}
CYLINDER = {
    "code": "rc-07",
    "refrigerant": "R-134a",
    "tare": "17.1",
    "tare_unit": "lb",
    "water": "26.2",
    "water_unit": "lb",
    "gross": "19.6",
    "gross_unit": "lb",
    "requalified_on": "2022-11-01",
    "serial": "SAMPLE-7",
}


@pytest.mark.parametrize("url", ["/types/new/", "/cylinders/new/", "/suppliers/new/"])
def test_a_technician_adds_nothing_to_the_lists(shop: Shop, dev: Client, url: str) -> None:
    assert dev.get(url).status_code == 403
    assert send(dev, url).status_code == 403


@pytest.mark.parametrize("who", ["lee", "marta"])
@pytest.mark.parametrize("url", ["/types/new/", "/cylinders/new/", "/suppliers/new/"])
def test_the_front_office_and_the_owner_add(shop: Shop, sign_on: SignOn, who: str, url: str) -> None:
    assert sign_on(getattr(shop, who)).get(url).status_code == 200


# --- Kinds of can


def test_a_kind_of_can_is_kept_as_printed(shop: Shop, lee: Client) -> None:
    assert send(lee, "/types/new/", **TYPE)["Location"] == "/deliveries/new/"
    kind = ContainerType.objects.get(name="10-oz can")

    assert (kind.net_text, kind.net_unit, kind.net) == ("10", "oz", ounces(10))
    assert kind.is_small_can
    assert "R-152a FLAMMABLE 10-oz can 10 oz, shell 110 g, case of 12" in text(lee.get("/types/new/"))


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("refrigerant", {"refrigerant": ""}, "required"),
        ("refrigerant", {"refrigerant": "R-12"}, "Select a valid choice"),
        ("name", {"name": " "}, "required"),
        ("name", {"name": "x" * 41}, "at most 40"),
        ("net", {"net": ""}, "Type the number"),
        ("net", {"net": "10", "net_unit": "g"}, "A small can holds 85 g to 2 lb."),
        ("net", {"net": "3", "net_unit": "lb"}, "A small can holds 85 g to 2 lb."),
        ("net", {"net": "10 fl oz"}, "volume"),
        ("net", {"net": "10", "net_unit": "stone"}, "Select a valid choice"),
        ("shell", {"shell": "4", "shell_unit": "g"}, "An empty shell weighs 40 to 250 g."),
        ("shell", {"shell": ""}, "Type the number"),
        ("shell_basis", {"shell_basis": ""}, "Say whether the shell was weighed or estimated."),
        ("cans_per_case", {"cans_per_case": "0"}, "from 1 to 144"),
        ("cans_per_case", {"cans_per_case": "a dozen"}, "whole number"),
    ],
)
def test_what_is_wrong_with_a_kind_of_can_stands_on_its_field(
    shop: Shop, lee: Client, field: str, changed: dict[str, str], sentence: str
) -> None:
    response = send(lee, "/types/new/", **{**TYPE, **changed})

    assert sentence in " ".join(errors(response, field))
    assert ContainerType.objects.count() == 2


def test_a_kind_of_can_is_listed_once(shop: Shop, lee: Client) -> None:
    again = {**TYPE, "refrigerant": "R-134a", "name": "12-OZ CAN"}

    assert errors(send(lee, "/types/new/", **again), "name") == ["That kind of can is already on the list."]


# 40 CFR 82.154(c)(1)(ix): designed to hold two pounds or less, with a self-sealing valve.
@pytest.mark.parametrize(
    ("net", "sealing", "small"), [("2", True, True), ("2", False, False), ("1", True, True)]
)
def test_a_small_can_is_two_pounds_or_less_with_a_self_sealing_valve(
    shop: Shop, net: str, sealing: bool, small: bool
) -> None:
    kind = ContainerTypeIn("R-134a", "a can", reading(net, Unit.LB), reading("200"), self_sealing=sealing)

    assert add_container_type(kind, at=NOON, by=shop.lee).is_small_can is small


@pytest.mark.parametrize(
    ("asked_from", "back"),
    [
        ("", '<a href="/deliveries/new/">Receive</a>'),
        ("?next=/types/", '<a href="/types/">Kinds of can</a>'),
        ("?next=/counts/opening/", '<a href="/counts/opening/">Opening count</a>'),
        ("?next=https://example.com/", '<a href="/deliveries/new/">Receive</a>'),
    ],
)
def test_the_page_of_a_new_kind_leads_back_to_where_it_was_asked_for(
    lee: Client, asked_from: str, back: str
) -> None:
    assert f'<p class="back">{back}</p>' in lee.get(f"/types/new/{asked_from}").content.decode()


def test_a_kind_of_can_without_a_name_is_refused(shop: Shop) -> None:
    with pytest.raises(Refused, match="what the shop calls"):
        add_container_type(
            ContainerTypeIn("R-134a", " ", reading("340"), reading("126")), at=NOON, by=shop.lee
        )


# --- Suppliers


def test_a_supplier_is_listed_once_whatever_the_capitals(shop: Shop, lee: Client) -> None:
    response = send(lee, "/suppliers/new/", name="SAMPLE PARTS SUPPLY")

    assert errors(response, "name") == ["SAMPLE PARTS SUPPLY is already on the list."]
    assert errors(send(lee, "/suppliers/new/", name=" "), "name")
    assert errors(send(lee, "/suppliers/new/", name="x" * 81), "name")
    assert Supplier.objects.count() == 1


def test_a_new_supplier_leaves_a_note_of_who_added_it(shop: Shop, lee: Client) -> None:
    send(lee, "/suppliers/new/", name="Example Cold Goods", phone="(555) 010-0110")

    assert AuditNote.objects.get(about="supplier Example Cold Goods").by == shop.lee
    assert "Example Cold Goods (555) 010-0110" in text(lee.get("/suppliers/new/"))


def test_each_shop_has_its_own_suppliers(shop: Shop) -> None:
    other = make_establishment("Sample Garage")

    assert (
        add_supplier(SupplierIn("Sample Parts Supply"), other, at=NOON, by=shop.marta).establishment == other
    )


# --- Cylinders


def test_a_cylinder_comes_in_with_what_is_in_it(shop: Shop, lee: Client) -> None:
    page = text(lee.get(send(lee, "/cylinders/new/", **CYLINDER)["Location"]))
    cylinder = in_the_cabinet(shop.establishment).get(pk="RC-07")

    # 19.6 lb less 17.1 lb is 2.5 lb = 1,133.98 g.
    assert cylinder.book == Mass.of("2.5", Unit.LB)
    assert cylinder.came_on == timezone.localdate()
    assert "Holds, by the book 1,134 g 40.0 oz" in page
    assert "before the book" in page


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("code", {"code": ""}, "required"),
        ("code", {"code": "RC 07"}, "letters, digits and dashes"),
        ("code", {"code": "rc-02"}, "RC-02 is in use"),
        ("code", {"code": "air"}, "AIR is in use"),
        ("refrigerant", {"refrigerant": "R-22"}, "Select a valid choice"),
        ("tare", {"tare": ""}, "Type the number"),
        ("tare", {"tare": "0"}, "is 3 to 120 lb"),
        ("water", {"water": "0"}, "is 5 to 150 lb"),
        ("water", {"water": "600"}, "is 5 to 150 lb"),
        ("gross", {"gross": "17.0"}, "less than its stamped tare"),
        ("gross", {"gross": "190"}, "No cylinder of this size weighs that much"),
        ("gross", {"gross": "19.6", "gross_unit": "g"}, "less than its stamped tare"),
        ("gross", {"gross": "nineteen"}, ""),
        ("requalified_on", {"requalified_on": "11 22"}, "Type the day"),
        ("serial", {"serial": "x" * 41}, "at most 40"),
    ],
)
def test_what_is_wrong_with_a_cylinder_stands_on_its_field(
    shop: Shop, lee: Client, field: str, changed: dict[str, Any], sentence: str
) -> None:
    response = send(lee, "/cylinders/new/", **{**CYLINDER, **changed})

    found = errors(response, field)
    assert found
    assert sentence in " ".join(found)
    assert Container.objects.filter(kind="cylinder").count() == 2
    assert not Place.objects.filter(code="RC-07").exists()
    assert not Entry.objects.exists()


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        (
            {"water": "17.1", "tare": "40", "gross": "42"},
            "WC 17.1 lb and TW 40 lb do not fit each other. Were they",
        ),
        ({"water": "26.2", "tare": "7.8", "gross": "9"}, "WC 26.2 lb and TW 7.8 lb do not fit each other"),
        ({"water": "11.9"}, "WC 11.9 lb: a common cylinder is stamped 11.9 kg. Which unit is it?"),
        (
            {"water_unit": "kg", "tare": "30", "gross": "31"},
            "WC 26.2 kg: a common cylinder is stamped 26.2 lb.",
        ),
        # 26.2 lb of water: 80 % is 20.96 lb, 9,507 g; 39 - 17.1 = 21.9 lb, 9,934 g
        (
            {"gross": "39"},
            "It would hold 9,934 g, over its limit of 9,507 g (80 % of water capacity by weight).",
        ),
    ],
)
def test_stamps_that_are_only_unlikely_are_asked_about_and_may_be_kept(
    shop: Shop, lee: Client, changed: dict[str, Any], sentence: str
) -> None:
    asked = send(lee, "/cylinders/new/", **{**CYLINDER, **changed})

    assert sentence in text(asked)
    assert not Place.objects.filter(code="RC-07").exists()
    seen = asked.context["form"]["seen"].value()
    assert send(lee, "/cylinders/new/", **{**CYLINDER, **changed, "seen": seen}).status_code == 302
    assert Place.objects.filter(code="RC-07").exists()


def test_a_requalification_of_tomorrow_is_refused(shop: Shop, lee: Client) -> None:
    tomorrow = (timezone.localdate() + timedelta(days=2)).isoformat()

    assert errors(send(lee, "/cylinders/new/", **{**CYLINDER, "requalified_on": tomorrow}), "requalified_on")


def test_an_empty_cylinder_moves_nothing(shop: Shop) -> None:
    empty = CylinderIn(
        "RC-08",
        "R-134a",
        reading("17.1", Unit.LB),
        reading("26.2", Unit.LB),
        reading("17.1", Unit.LB),
        date(2022, 1, 1),
    )
    add_cylinder(empty, shop.establishment, on=DAY, at=NOON, by=shop.lee)

    assert in_the_cabinet(shop.establishment).get(pk="RC-08").book == ZERO
    assert not Entry.objects.exists()
