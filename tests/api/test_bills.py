"""Invoices and credits of a delivery through a program: cents as printed, and never a gram."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from inventory.models import Credit, Invoice, Movement, ReturnSlip
from inventory.services import ReturnIn, return_cans
from tests.api.program import Program, queries_of
from tests.factories import DAY, NOON, Shop, cans_of, make_establishment, make_owner, receive
from tests.pages import text

pytestmark = pytest.mark.one_engine

AT = "/api/deliveries/D24-0001/"
BILL: dict[str, Any] = {
    "number": "550917",
    "dated": "2024-04-03",
    "total_cents": 64218,
    "tax_cents": 4218,
    "prices": [{"line": 1, "cans": 12, "cents": 4900}],
    "deposits": [{"kind": "core", "cents": 1200, "due_back": "2024-06-01"}],
}


@pytest.fixture
def program(shop: Shop) -> Program:
    """D24-0001 has twelve cans; one of them went back on RS24-0001."""
    delivery = receive(shop)
    gone = ReturnIn((cans_of(delivery)[0],), DAY, ReturnSlip.To.SUPPLIER, "the driver", "wrong kind")
    return_cans(delivery, gone, today=DAY, at=NOON, by=shop.lee)
    return Program(shop.lee)


def found(answer: Any) -> list[tuple[str, str]]:
    return [(one["field"], one["code"]) for one in answer.json()["findings"]]


def test_a_bill_of_twelve_cans_tax_and_core_is_on_file_once(program: Program, lee: Client) -> None:
    """12 x $49.00 + $42.18 + $12.00 = $642.18."""
    before = Movement.objects.count()
    for _ in range(2):
        told = program.post(f"{AT}invoices/", BILL, once="invoice-550917").json()
    assert (told["total_cents"], told["prices"][0]["per"], told["deliveries"]) == (64218, "can", ["D24-0001"])
    assert program.get(f"{AT}invoices/").json()["results"] == [told]
    assert (Invoice.objects.count(), Movement.objects.count()) == (1, before)
    page = text(lee.get("/deliveries/D24-0001/"))
    assert "$642.18" in page
    assert "$49.00" in page
    assert found(program.post(f"{AT}invoices/", BILL)) == [("number", "invoice-known")]


def test_one_bill_for_two_deliveries_prices_the_lines_of_both(program: Program, shop: Shop) -> None:
    other = receive(shop, slip="88413").number
    both = BILL | {
        "also": [other],
        "prices": [*BILL["prices"], {"delivery": other, "line": 1, "cans": 12, "cents": 58800, "per": "all"}],
    }
    told = program.post(f"{AT}invoices/", both).json()
    assert [one["delivery"] for one in told["prices"]] == ["D24-0001", other]
    assert program.get(f"/api/deliveries/{other}/invoices/").json()["results"] == [told]


def test_credit_for_the_can_that_went_back_and_for_the_core(program: Program) -> None:
    early = {"number": "CR-17", "dated": "2024-04-09", "cents": 4900, "slip": "RS24-0001"}
    assert found(program.post(f"{AT}credits/", early)) == [("cents", "credit-no-invoice")]
    program.post(f"{AT}invoices/", BILL)
    told = program.post(f"{AT}credits/", early).json()
    assert (told["cents"], told["slip"], told["by"]) == (4900, "RS24-0001", "Lee Okonma")
    assert program.get(f"{AT}returns/").json()["results"][0]["credited_cents"] == 4900
    core = {"number": "CR-18", "dated": "2024-04-09", "cents": 1201}
    assert found(program.post(f"{AT}credits/", core)) == [("cents", "deposit-more")]
    assert program.post(f"{AT}credits/", core | {"cents": 1200}).json()["slip"] is None
    assert [one["number"] for one in program.get(f"{AT}credits/").json()["results"]] == ["CR-18", "CR-17"]


@pytest.mark.parametrize(
    ("changed", "status", "field", "code"),
    [
        ({"total_cents": -1}, 400, "total_cents", "min_value"),
        ({"total_cents": 642.18}, 400, "total_cents", "invalid"),
        ({"total_cents": "٦٤٢١٨"}, 400, "total_cents", "digits"),
        ({"dated": "2024-04-0٣"}, 400, "dated", "digits"),
        ({"dated": "2999-01-01"}, 422, "dated", "invoice-future"),
        ({"prices": [{"line": 2, "cans": 1, "cents": 1}]}, 400, "prices.0.line", "unknown"),
        ({"prices": BILL["prices"] * 2}, 400, "prices.1.line", "unknown"),
        ({"prices": [{"line": 1, "cans": 0, "cents": 1}]}, 422, "", "price-astray"),
        ({"deposits": [{"kind": "core", "cents": 0}]}, 400, "deposits.0.cents", "min_value"),
        ({"also": ["D24-0099"]}, 400, "also.0", "unknown"),
    ],
)
def test_what_is_wrong_with_a_bill_is_named(
    program: Program, changed: Any, status: int, field: str, code: str
) -> None:
    answer = program.post(f"{AT}invoices/", BILL | changed)
    assert (answer.status_code, found(answer)[0]) == (status, (field, code))
    assert not Invoice.objects.exists()


def test_a_list_of_bills_costs_the_same_for_one_and_for_many(program: Program) -> None:
    program.post(f"{AT}invoices/", BILL)
    few = queries_of(program, f"{AT}invoices/")
    for number in range(4):
        assert program.post(f"{AT}invoices/", BILL | {"number": str(number)}).status_code == 201
    assert queries_of(program, f"{AT}invoices/") == few


def test_money_is_for_the_office_and_for_this_shop(program: Program, shop: Shop) -> None:
    for person, status in (
        (shop.dev, 403),
        (make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"), 404),
    ):
        other = Program(person)
        for below in ("invoices/", "credits/", "returns/", "damages/"):
            assert other.get(f"{AT}{below}").status_code == status, below
        assert other.post(f"{AT}invoices/", BILL).status_code == status
    second = receive(shop, slip="88413").number
    astray = {"number": "CR-17", "dated": "2024-04-09", "cents": 0, "slip": "RS24-0001"}
    assert found(program.post(f"/api/deliveries/{second}/credits/", astray)) == [("slip", "unknown")]
    assert not Credit.objects.exists()
