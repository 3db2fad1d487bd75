"""Lee's program receives a delivery: the same cans, book and refusals as the page of the slip."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from inventory.models import Container, Delivery, Invoice, Movement
from shop.core.mass import Mass, grams, total
from shop.http import now
from shop.models import Person
from shop.services import CardIn, add_card
from tests.api.program import Program, queries_of
from tests.factories import DAY, NOON, Shop, cans_of, make_establishment, make_owner, receive
from tests.pages import text

pytestmark = pytest.mark.one_engine

AT = "/api/deliveries/"
SLIP = {
    "supplier": "Sample Parts Supply",
    "slip": " 90211 ",
    "lines": [
        {
            "type": "R-134a 12-oz can",
            "cases": 2,
            "damaged": 1,
            "lots": [{"lot": "L24B-07", "cans": 20}, {"lot": "L25A"}],
            "ordered": 36,
        },
        {"type": "R-1234yf 8-oz can", "cans": 6},
    ],
}


@pytest.fixture
def program(shop: Shop) -> Program:
    return Program(shop.lee)


@pytest.fixture
def received(program: Program) -> dict[str, Any]:
    said: dict[str, Any] = program.post(AT, SLIP).json()
    return said


def found(answer: Any) -> list[tuple[str, str]]:
    return [(one["field"], one["code"]) for one in answer.json()["findings"]]


def test_two_cases_and_six_singles_are_29_sound_cans_and_one_refused(
    received: dict[str, Any], program: Program, lee: Client
) -> None:
    first, second = received["lines"]
    assert (first["on_slip"], first["sound"], first["damaged"], first["to_come"]) == (24, 23, 1, 12)
    assert (second["on_slip"], second["sound"], second["damaged"], second["to_come"]) == (6, 6, 0, 0)
    lots = Counter(can["lot"] for can in received["cans"] if can["came_sound"])
    assert lots == {"L24B-07": 20, "L25A": 3, "": 6}
    assert [can["ended"] for can in received["cans"] if not can["came_sound"]] == ["refused"]
    # 23 x 340 g + 6 x 227 g
    assert total(Movement.objects.values_list("mass", flat=True)) == grams(23 * 340 + 6 * 227)
    assert program.get(f"{AT}{received['number']}/").json() == received
    page = text(lee.get(f"/deliveries/{received['number']}/"))
    assert "90211" in page
    assert "12 × R-134a 12-oz can" in page


def test_the_stock_says_what_came(received: dict[str, Any], program: Program) -> None:
    shelves = {one["refrigerant"]: one for one in program.get("/api/stock/").json()["shelves"]}
    assert [shelves[gas]["sealed"] for gas in ("R-134a", "R-1234yf")] == [23, 6]
    assert shelves["R-134a"]["in_cans"] == {"value": "7820", "unit": "g", "micrograms": 7_820_000_000}
    assert shelves["R-134a"]["cylinders"] == ["RC-02"]


def test_the_same_slip_sent_again_is_received_once(program: Program) -> None:
    for _ in range(3):
        answer = program.post(AT, SLIP, once="slip-90211-of-today")
    assert (answer.status_code, Delivery.objects.count()) == (201, 1)
    assert "First-Answered" in answer
    again = program.post(AT, SLIP)
    assert (again.status_code, found(again)) == (422, [("slip", "slip-already-in")])


def test_a_delivery_that_looks_the_same_is_asked_about(received: dict[str, Any], program: Program) -> None:
    asked = program.post(AT, SLIP | {"slip": "90212"})
    assert found(asked) == [("", "delivery-looks-like")]
    assert program.post(AT, SLIP | {"slip": "90212", "another": True}).status_code == 201


def test_its_second_paper_is_kept_and_found_by_either_number(
    received: dict[str, Any], program: Program
) -> None:
    kept = program.post(f"{AT}{received['number']}/slips/", {"slip": "90212"}).json()
    assert kept["other_slips"] == ["90212"]
    for slip in ("90211", "90212"):
        assert [one["number"] for one in program.get(f"{AT}?slip={slip}").json()["results"]] == [
            kept["number"]
        ]
    assert Container.objects.filter(kind="can").count() == 30


def test_two_deliveries_that_were_one_keep_one_set_of_cans(
    received: dict[str, Any], program: Program, shop: Shop
) -> None:
    twice = program.post(AT, SLIP | {"slip": "90212", "another": True}).json()["number"]
    at = f"{AT}{received['number']}/merging/"
    assert found(program.post(at, {"other": received["number"]})) == [("other", "merge-itself")]
    merged = program.post(at, {"other": twice}).json()
    assert merged["other_slips"] == ["90212"]
    gone = program.get(f"{AT}{twice}/").json()
    assert gone["undone"] == f"the same delivery as {received['number']}"
    shelves = {one["refrigerant"]: one["sealed"] for one in program.get("/api/stock/").json()["shelves"]}
    assert shelves == {"R-134a": 23, "R-1234yf": 6}


def line(**changed: Any) -> dict[str, Any]:
    return SLIP | {"lines": [SLIP["lines"][1], SLIP["lines"][0] | changed]}  # type: ignore[operator]


@pytest.mark.parametrize(
    ("body", "status", "field", "code"),
    [
        (SLIP | {"supplier": "Nobody Supply"}, 400, "supplier", "unknown"),
        (SLIP | {"lines": []}, 400, "lines", "empty"),
        (SLIP | {"on": "2999-01-01"}, 422, "on", "delivery-future"),
        (SLIP | {"on": "0204-01-01"}, 400, "on", "early"),
        (line(type="12-oz can"), 400, "lines.1.type", "unknown"),
        (line(cases=0), 400, "lines.1.cases", "required"),
        (line(cases=501), 400, "lines.1.cases", "max_value"),
        (line(sound=37), 422, "lines.1.sound", "line-too-many"),
        (line(lots=[{"lot": "A", "cans": 24}]), 422, "lines.1.lots", "line-lots"),
        (line(lots=[{"lot": "A"}, {"lot": "B"}]), 400, "lines.1.lots", "invalid"),
        (line(lots=[{"lot": "A", "cans": -1}]), 400, "lines.1.lots.0.cans", "min_value"),
        (line(due="2020-01-01"), 422, "lines.1.due", "due-before"),
        (SLIP | {"asked": "card shown"}, 422, "asked_of", "asked-of"),
        (SLIP | {"asked_of": "Marta Quill"}, 400, "asked_of", "unknown"),  # she holds no card
    ],
)
def test_what_is_wrong_with_a_slip_is_named_by_its_line(
    program: Program, body: Any, status: int, field: str, code: str
) -> None:
    answer = program.post(AT, body)
    assert (answer.status_code, found(answer)[0]) == (status, (field, code))
    assert not Delivery.objects.exists()


def test_a_card_is_shown_by_somebody_who_has_two_or_shares_a_name(program: Program, shop: Shop) -> None:
    second = CardIn("Other Sample Program", "OTHER-1", DAY, "Rosa Tamayo")
    add_card(shop.rosa, second, today=DAY, at=NOON, by=shop.marta)
    Person.objects.filter(pk=shop.dev.pk).update(name="Rosa Tamayo")
    answer = program.post(AT, SLIP | {"asked": "card shown", "asked_of": "Rosa Tamayo"})
    assert (answer.status_code, answer.json()["asked_of"]) == (201, "Rosa Tamayo")


def test_the_invoice_comes_along_or_neither_is_kept(program: Program, shop: Shop) -> None:
    late = (now() + timedelta(days=9)).date().isoformat()
    bill = {"number": "550917", "dated": late, "total_cents": 64218}
    refused = program.post(AT, SLIP | {"invoice": bill})
    assert found(refused) == [("invoice.dated", "invoice-future")]
    assert (Delivery.objects.count(), Invoice.objects.count()) == (0, 0)
    bill["dated"] = timezone.localdate(now()).isoformat()
    kept = program.post(AT, SLIP | {"invoice": bill}).json()
    assert kept["invoices"] == [bill]
    assert Program(shop.dev).get(f"{AT}{kept['number']}/").json()["invoices"] is None


def test_the_rest_of_a_short_slip_is_numbered_on(received: dict[str, Any], program: Program) -> None:
    number = received["number"]
    came = {"lines": [{"line": 1, "sound": 10, "damaged": 1, "lots": [{"lot": "L25A"}]}]}
    whole = program.post(f"{AT}{number}/rest/", came).json()
    assert (whole["lines"][0]["sound"], whole["lines"][0]["to_come"]) == (33, 1)
    assert [can["code"] for can in whole["cans"]] == sorted(can["code"] for can in whole["cans"])
    over = program.post(f"{AT}{number}/rest/", {"lines": [{"line": 2}, {"line": 1, "sound": 2}]})
    assert found(over) == [("lines.1.sound", "rest-too-many")]
    for lines, field in (([{"line": 9}], "lines.0.line"), ([{"line": 1}, {"line": 1}], "lines.1.line")):
        assert found(program.post(f"{AT}{number}/rest/", {"lines": lines}))[0][0] == field
    waiting = [one["number"] for one in program.get(f"{AT}?waiting=true").json()["results"]]
    dropped = program.post(f"{AT}{number}/not-coming/", {"line": 1, "why": "out of stock, by phone"}).json()
    assert (waiting, dropped["lines"][0]["not_coming"]) == ([number], "out of stock, by phone")
    assert program.get(f"{AT}?waiting=true").json()["results"] == []
    assert program.get(f"{AT}?waiting=false").json()["results"][0]["number"] == number


def test_a_lot_is_put_right_and_no_gram_moves(received: dict[str, Any], program: Program) -> None:
    before, cans = Movement.objects.count(), [can["code"] for can in received["cans"][:2]]
    at = f"{AT}{received['number']}/lots/"
    told = program.post(at, {"lot": "L26C", "cans": cans}).json()
    assert [can["lot"] for can in told["cans"][:3]] == ["L26C", "L26C", "L24B-07"]
    assert Movement.objects.count() == before
    of_lot = program.get("/api/containers/?lot=L26C").json()["results"]
    assert [one["code"] for one in of_lot] == cans[::-1]
    assert found(program.post(at, {"lot": "L26C", "cans": [cans[0], "K-9999", cans[0]]})) == [
        ("cans.1", "unknown"),
        ("cans.2", "twice"),
    ]
    assert found(program.post(at, {"lot": "L26C", "cans": ["RC-02"]})) == [("cans", "lot-other-cans")]


def test_a_can_that_hissed_is_the_suppliers_and_goes_back(
    received: dict[str, Any], program: Program, shop: Shop
) -> None:
    """A full can weighs 466 g (340 in a shell of 126); this one 452: 14 g were gone before our work."""
    can, at = received["cans"][0]["code"], f"{AT}{received['number']}"
    said = {"can": can, "what": "hissing", "where": "outside", "scale": "SC-1"}
    asked = program.post(f"{at}/damages/", said)
    assert found(asked) == [("reading", "required")]
    noted = program.post(f"{at}/damages/", said | {"reading": {"value": "452", "unit": "g"}}).json()
    assert (noted["lost"]["micrograms"], noted["reading"]["value"]) == (14_000_000, "452")
    assert program.get(f"{at}/damages/").json()["results"] == [noted]
    assert program.get(f"/api/containers/{can}/").json()["ended"] == "refused"
    back = {"cans": [can], "to": "supplier", "handed_to": "the driver", "reason": "hissing"}
    slip = program.post(f"{at}/returns/", back).json()
    assert (slip["cans"], slip["credited_cents"]) == ([can], None)
    assert program.get(f"{at}/returns/").json()["results"] == [slip]
    again = program.post(f"{at}/returns/", back)
    assert found(again) == [("cans", "return-left")]
    delivery = program.get(f"{at}/").json()
    assert (delivery["return_slips"], delivery["cans"][0]["returned_on_slip"]) == (
        [slip["number"]],
        slip["number"],
    )
    assert Movement.objects.balances([can])[can] == Mass(0)


def test_only_the_owner_undoes_and_the_book_is_as_before(
    received: dict[str, Any], program: Program, shop: Shop
) -> None:
    at, why = f"{AT}{received['number']}/undoing/", {"why": "typed twice"}
    assert program.post(at, why).status_code == 403
    undone = Program(shop.marta).post(at, why).json()
    assert undone["undone"] == "typed twice"
    assert program.get("/api/stock/").json()["shelves"][0]["sealed"] == 0
    assert [len(program.get(f"{AT}?undone={said}").json()["results"]) for said in ("true", "false")] == [1, 0]


def test_filters_of_days_and_suppliers(received: dict[str, Any], program: Program) -> None:
    on = received["on"]
    for query, rows in (
        (f"since={on}&until={on}", 1),
        ("until=2020-01-01", 0),
        ("supplier=Sample%20Parts%20Supply", 1),
        ("supplier=Nobody", 0),
    ):
        assert len(program.get(f"{AT}?{query}").json()["results"]) == rows, query


def test_another_shops_delivery_and_supplier_are_nowhere(received: dict[str, Any]) -> None:
    otis = Program(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    at = f"{AT}{received['number']}/"
    assert otis.get(at).status_code == 404
    assert otis.post(f"{at}slips/", {"slip": "1"}).status_code == 404
    assert otis.get(f"{at}damages/").status_code == 404
    assert found(otis.post(AT, SLIP))[0] == ("supplier", "unknown")


def test_a_page_of_deliveries_costs_the_same_for_one_and_for_many(program: Program, shop: Shop) -> None:
    receive(shop, slip="1")
    few = queries_of(program, AT)
    for slip in range(2, 12):
        receive(shop, slip=str(slip))
    assert (len(program.get(AT).json()["results"]), queries_of(program, AT)) == (11, few)


def test_a_used_can_is_not_refused_afterwards(program: Program, shop: Shop) -> None:
    delivery = receive(shop)
    can = cans_of(delivery)[0].code
    weighed = {"scale": "SC-1", "reading": {"value": "466", "unit": "g"}}
    assert program.post(f"/api/containers/{can}/tickets/", weighed).status_code == 201
    said = {"can": can, "what": "hissing", "where": "outside"}
    assert found(program.post(f"{AT}{delivery.number}/damages/", said)) == [("", "damage-used")]
    other = receive(shop, slip="88413").number
    assert found(program.post(f"{AT}{other}/damages/", said)) == [("can", "unknown")]


def test_suppliers_and_kinds_of_can_are_put_on_the_list(program: Program, shop: Shop) -> None:
    new = {"name": "Sample Wholesale", "phone": "(555) 010-0177"}
    assert program.post("/api/suppliers/", new).json() == new | {"address": ""}
    assert found(program.post("/api/suppliers/", new)) == [("name", "supplier-known")]
    assert Program(shop.dev).get("/api/suppliers/").status_code == 403
    kind = {
        "refrigerant": "R-134a",
        "name": "30-oz can",
        "net": {"value": "30", "unit": "oz"},
        "shell": {"value": "300", "unit": "g"},
        "shell_basis": "estimated",
    }
    assert found(program.post("/api/types/", kind)) == [("shell", "can-shell")]
    made = program.post("/api/types/", kind | {"shell": {"value": "210", "unit": "g"}}).json()
    # an avoirdupois ounce is 28.349523125 g exactly (NIST Handbook 44, appendix C)
    assert (made["called"], made["net"]["micrograms"]) == ("R-134a 30-oz can", 850_485_694)
    listed = Program(shop.dev).get("/api/types/?refrigerant=R-134a").json()["results"]
    assert [one["called"] for one in listed] == ["R-134a 30-oz can", "R-134a 12-oz can"]
