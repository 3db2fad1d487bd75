"""Cylinders leave and the receipt comes, through a program: our weight in the book, theirs beside it."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from inventory.models import Container, FacilityReceipt, Movement, Shipment
from shop.core.mass import Mass
from tests.api.program import Program, queries_of
from tests.factories import Shop, cylinder_holding, make_establishment, make_owner
from tests.pages import text

pytestmark = pytest.mark.one_engine

AT = "/api/shipments/"
PLACE = {"name": "Saltgrass Refrigerant Recovery", "address": "9 Depot Lane, Other Springs, ST 00000"}
CALLED = "Saltgrass Refrigerant Recovery, 9 Depot Lane, Other Springs, ST 00000"


def leaves(code: str, value: str = "13656", **more: Any) -> dict[str, Any]:
    return {"cylinder": code, "scale": "SC-1", "reading": {"value": value, "unit": "g"}} | more


SENT: dict[str, Any] = {
    "facility": CALLED,
    "purpose": "reclaim",
    "carrier": "own van",
    "driver": "J. Sample",
    "capped": True,
    "cylinders": [leaves("RC-01", note="identifier: 99.6 % R-134a")],
}


def nets(*rows: tuple[str, str, str]) -> dict[str, Any]:
    """Their net weights: (cylinder, value, unit)."""
    return {"nets": [{"cylinder": code, "net": {"value": value, "unit": unit}} for code, value, unit in rows]}


TICKET = {"number": "T-4471"} | nets(("RC-01", "13.0", "lb"))


@pytest.fixture
def rc01(shop: Shop) -> Container:
    """Holds 13.0 lb by the book; with its tare of 17.1 lb it weighs 30.1 lb."""
    return cylinder_holding(shop, "RC-01", "13.0")


@pytest.fixture
def program(shop: Shop, rc01: Container) -> Program:
    program = Program(shop.lee)
    assert program.post("/api/facilities/", PLACE).json()["called"] == CALLED
    return program


def found(answer: Any) -> list[tuple[str, str]]:
    return [(one["field"], one["code"]) for one in answer.json()["findings"]]


def test_what_left_is_gross_less_the_stamped_tare(program: Program, lee: Client, shop: Shop) -> None:
    """17.1 lb x 453.59237 g = 7,756.429527 g; 13,656 g less that is 5,899.570473 g."""
    sent = program.post(AT, SENT).json()
    assert sent["ours"]["micrograms"] == 5_899_570_473
    assert (sent["theirs"], sent["receipt"], sent["record_version"]) == (None, None, 1)
    assert sent["cylinders"][0]["their_net"] is None
    moved = Movement.objects.filter(purpose="shipped").get()
    assert (moved.source_id, moved.target_id, moved.mass) == ("RC-01", "facility", Mass(5_899_570_473))
    assert Program(shop.dev).get(f"{AT}{sent['number']}/").json() == sent
    assert "5,900 g (208.1 oz) net" in text(lee.get(f"/shipments/{sent['number']}/"))
    assert program.get("/api/containers/RC-01/").json()["ended"] == "shipped"
    paper = program.get(f"/api/papers/{sent['number']}/1/").json()
    assert "5899570473" in str(paper["facts"])


def test_their_receipt_stands_beside_ours_and_moves_nothing(program: Program) -> None:
    """13.0 lb are 5,896.70081 g by their scale: 2.87 g less than ours."""
    number = program.post(AT, SENT).json()["number"]
    before = Movement.objects.count()
    for _ in range(2):
        told = program.post(f"{AT}{number}/receipt/", TICKET, once="receipt-t-4471").json()
    assert told["theirs"]["micrograms"] == 5_896_700_810
    assert told["cylinders"][0]["their_net"]["value"] == "13.0"
    assert (told["receipt"]["number"], told["record_version"]) == ("T-4471", 2)
    assert (Movement.objects.count(), FacilityReceipt.objects.count()) == (before, 1)
    assert found(program.post(f"{AT}{number}/receipt/", TICKET)) == [("number", "receipt-known")]
    assert [one["number"] for one in program.get(f"{AT}?receipt=true").json()["results"]] == [number]
    assert program.get(f"{AT}?receipt=false").json()["results"] == []


@pytest.mark.parametrize(
    ("changed", "status", "field", "code"),
    [
        (nets(("RC-09", "1", "lb")), 400, "nets.0.cylinder", "unknown"),
        (nets(("RC-01", "13.0", "lb"), ("RC-01", "13.0", "lb")), 400, "nets.1.cylinder", "unknown"),
        (nets(("RC-01", "13.0", "oz")), 422, "note", "receipt-differs"),
        (nets(("RC-01", "x", "lb")), 400, "nets.0.net.value", "mass-not-a-number"),
        ({"on": "2020-01-01"}, 422, "on", "receipt-day"),
    ],
)
def test_what_is_wrong_with_a_receipt_is_named(
    program: Program, changed: Any, status: int, field: str, code: str
) -> None:
    number = program.post(AT, SENT).json()["number"]
    answer = program.post(f"{AT}{number}/receipt/", TICKET | changed)
    assert (answer.status_code, found(answer)[0]) == (status, (field, code))
    assert not FacilityReceipt.objects.exists()


def test_a_shipment_of_two_cylinders_sent_twice_leaves_once(program: Program, shop: Shop) -> None:
    cylinder_holding(shop, "RC-07", "5")
    two = SENT | {"cylinders": [leaves("RC-01"), leaves("RC-07", "10024", comes_back=True)]}
    answers = [program.post(AT, two, once="shipment-of-today") for _ in range(2)]
    assert [one.status_code for one in answers] == [201, 201]
    assert (Shipment.objects.count(), Movement.objects.filter(purpose="shipped").count()) == (1, 2)
    # 13,656 + 10,024 - 2 x 7,756.429527
    assert answers[0].json()["ours"]["micrograms"] == 8_167_140_946
    assert program.get("/api/containers/RC-07/").json()["ended"] is None
    assert found(program.post(AT, SENT)) == [("cylinders.0.cylinder", "unknown")]


def test_a_stamp_past_its_day_is_asked_about_and_passes_when_seen(program: Program, shop: Shop) -> None:
    body = {
        "code": "RC-31",
        "refrigerant": "R-134a",
        "tare": {"value": "17.1", "unit": "lb"},
        "water": {"value": "26.2", "unit": "lb"},
        "gross": {"value": "20.1", "unit": "lb"},
        "requalified_on": "2010-11-01",
    }
    assert program.post("/api/cylinders/", body).status_code == 201
    old = SENT | {"cylinders": [leaves("RC-31", "9117")]}
    asked = program.post(AT, old)
    assert found(asked) == [("cylinders.0.reading", "requalification-past")]
    assert asked.json()["findings"][0]["weight"] == "warns"
    assert program.post(AT, old | {"seen": ["requalification-past"]}).status_code == 201


@pytest.mark.parametrize(
    ("changed", "status", "field", "code"),
    [
        ({"facility": "Somewhere else"}, 400, "facility", "unknown"),
        ({"capped": False}, 422, "capped", "shipment-uncapped"),
        ({"cylinders": []}, 400, "cylinders", "empty"),
        ({"cylinders": [leaves("RC-99")]}, 400, "cylinders.0.cylinder", "unknown"),
        ({"cylinders": [leaves("RC-01", "7756")]}, 422, "cylinders.0.reading", "below-tare"),
        ({"cylinders": [leaves("RC-01", "18000")]}, 422, "cylinders.0.reading", "ship-over-limit"),
        ({"cylinders": [leaves("RC-01"), leaves("RC-01")]}, 422, "cylinders.1.reading", "shipped-twice"),
        ({"cylinders": [leaves("RC-01", "30.1 lb")]}, 400, "cylinders.0.reading.value", "mass-unit"),
        ({"purpose": "landfill"}, 400, "purpose", "invalid_choice"),
        ({"carrier": ""}, 400, "carrier", "blank"),
    ],
)
def test_what_is_wrong_with_a_shipment_is_named_and_nothing_leaves(
    program: Program, changed: Any, status: int, field: str, code: str
) -> None:
    answer = program.post(AT, SENT | changed)
    assert (answer.status_code, found(answer)[0]) == (status, (field, code))
    assert not Shipment.objects.exists()


def test_a_can_is_not_shipped(program: Program, cans: list[Container]) -> None:
    answer = program.post(AT, SENT | {"cylinders": [leaves("K-0001", "466")]})
    assert found(answer) == [("cylinders.0.reading", "ship-no-cylinder")]


def test_two_facilities_of_one_name_are_told_apart(program: Program) -> None:
    other = PLACE | {"address": "1 Rail Street, Far Springs, ST 00000"}
    called = program.post("/api/facilities/", other).json()["called"]
    assert found(program.post("/api/facilities/", other)) == [("name", "facility-known")]
    assert [one["called"] for one in program.get("/api/facilities/").json()["results"]] == [called, CALLED]
    assert program.post(AT, SENT | {"facility": called}).json()["facility"]["address"] == other["address"]
    assert found(program.post("/api/facilities/", PLACE | {"address": "1 St"})) == [
        ("address", "facility-address")
    ]


def test_technicians_see_shipments_and_send_none(program: Program, shop: Shop) -> None:
    dev = Program(shop.dev)
    assert dev.post(AT, SENT).status_code == 403
    assert dev.get("/api/facilities/").status_code == 403
    assert dev.get(AT).json()["results"] == []


def test_another_shop_sees_neither_shipment_nor_facility(program: Program) -> None:
    number = program.post(AT, SENT).json()["number"]
    otis = Program(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    assert otis.get(f"{AT}{number}/").status_code == 404
    assert otis.post(f"{AT}{number}/receipt/", TICKET).status_code == 404
    assert found(otis.post(AT, SENT))[0] == ("facility", "unknown")


def test_a_list_of_shipments_costs_the_same_for_one_and_for_many(program: Program, shop: Shop) -> None:
    program.post(AT, SENT)
    few = queries_of(program, AT)
    for number in range(10, 14):
        cylinder_holding(shop, f"RC-{number}", "5")
        body = SENT | {"cylinders": [leaves(f"RC-{number}", "10024")]}
        assert program.post(AT, body).status_code == 201
    assert (len(program.get(AT).json()["results"]), queries_of(program, AT)) == (5, few)
