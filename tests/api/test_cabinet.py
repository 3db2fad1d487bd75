"""Containers through a program: what became of them, where they stand, how full a cylinder is."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from inventory.models import Container, Fate, Move, Movement
from inventory.services import (
    CountedIn,
    CountIn,
    FoundIn,
    MoveIn,
    add_spot,
    find_can,
    move_containers,
    record_count,
)
from shop.core.scopes import Scope
from tests.api.program import Program, queries_of
from tests.compliance.work import Bay
from tests.factories import (
    DAY,
    NOON,
    Shop,
    cylinder_holding,
    make_establishment,
    make_owner,
    receive,
    ticket_in,
)
from tests.pages import text

pytestmark = pytest.mark.one_engine

ONE, AT = "/api/containers/K-0001/", "/api/containers/K-0001/outcome/"


@pytest.fixture
def program(shop: Shop, cans: list[Container]) -> Program:
    return Program(shop.dev)


def found(answer: Any) -> list[tuple[str, str]]:
    return [(one["field"], one["code"]) for one in answer.json()["findings"]]


def weigh(program: Program, code: str, *readings: str) -> None:
    """What the scale shows; what is asked about it is answered with "keep it"."""
    for value in readings:
        body = {"scale": "SC-1", "reading": {"value": value, "unit": "g"}}
        asked = program.post(f"/api/containers/{code}/tickets/", body)
        seen = [one["code"] for one in asked.json().get("findings", ())]
        if seen:
            assert program.post(f"/api/containers/{code}/tickets/", body | {"seen": seen}).status_code == 201


def test_a_can_is_put_on_hold_and_taken_off_by_who_may(program: Program, shop: Shop) -> None:
    held = program.post(AT, {"what": "hold", "why": "valve drips"}).json()
    assert (held["on_hold"], held["ended"]) == ("valve drips", None)
    assert found(program.post(AT, {"what": "hold", "why": "valve drips"})) == [("", "hold-again")]
    assert found(Program(shop.rosa).post(AT, {"what": "hold end", "why": "looks fine"})) == [
        ("", "hold-of-other")
    ]
    assert found(program.post(AT, {"what": "hold end"})) == [("why", "why-empty")]
    assert program.post(AT, {"what": "hold end", "why": "new cap"}).json()["on_hold"] is None


def test_what_is_more_than_a_heel_is_kept_and_not_thrown_away(program: Program) -> None:
    weigh(program, "K-0001", "466", "300")  # 174 g over its shell of 126 g
    assert found(program.post(AT, {"what": "disposed", "how": "scrap metal"})) == [("", "heel-over-limit")]
    assert program.post(AT, {"what": "kept"}).json()["kept_by"] == "Dev Larkin"
    assert found(program.post(AT, {"what": "kept"})) == [("", "kept-already")]
    weigh(program, "K-0001", "296")
    assert program.get(ONE).json()["kept_by"] is None  # it was weighed since


def test_a_drained_can_ends_emptied_once_however_often_it_is_sent(program: Program, bay: Bay) -> None:
    bay.straight(Container.objects.get(pk="K-0001"), Container.objects.get(pk="K-0002"))
    gone = {"what": "disposed", "how": "hauler"}
    answers = [program.post(AT, gone, once="friday-empties") for _ in range(2)]
    assert [one.status_code for one in answers] == [201, 201]
    assert answers[0].json()["ended"] == "emptied"
    assert answers[0].json()["book"]["micrograms"] == 0
    assert found(program.post(AT, gone)) == [("", "disposed")]
    assert found(program.post(AT, gone | {"how": ""}))[0] == ("how", "dispose-how")


def test_only_the_owner_says_that_a_missed_can_is_lost(program: Program, shop: Shop) -> None:
    lost = {"what": "lost", "why": "looked twice"}
    assert found(Program(shop.marta).post(AT, lost)) == [("", "lost-uncounted")]
    counted = CountIn(DAY, [CountedIn(Container.objects.get(pk="K-0001"), "missing")])
    record_count(counted, shop.establishment, at=NOON, by=shop.lee)
    assert found(program.post(AT, lost)) == [("", "lost-owner")]
    assert Program(shop.marta).post(AT, lost).json()["ended"] == "lost"
    assert Fate.objects.get().why == "looked twice"


def test_a_found_can_says_so(program: Program, shop: Shop) -> None:
    said = FoundIn(shop.can12, "R-134a 12 oz", "under the bench", ticket_in(shop, "466"))
    can = find_can(said, shop.establishment, on=DAY, at=NOON, by=shop.dev)
    assert program.get(f"/api/containers/{can.container_id}/").json()["found_without_number"] is True
    assert program.get(ONE).json()["found_without_number"] is False


def test_cans_go_to_a_van_and_arrive(program: Program, shop: Shop) -> None:
    assert program.post("/api/spots/", {"name": "van 2", "kind": "van"}).status_code == 403
    spot = Program(shop.lee).post("/api/spots/", {"name": "van 2", "kind": "van"}).json()
    assert program.get("/api/spots/").json()["results"] == [spot]
    before = Movement.objects.count()
    sent = program.post("/api/moves/", {"containers": ["K-0001", "K-0002"], "to": "van 2"}).json()["moves"]
    assert [(one["container"], one["arrived_at"]) for one in sent] == [("K-0001", None), ("K-0002", None)]
    here = program.get(ONE).json()
    assert (here["spot"], here["on_the_way"]) == ("van 2", True)
    again = program.post("/api/moves/", {"containers": ["K-0001"], "to": "van 2"})
    assert found(again) == [("containers", "on-the-way")]
    came = Program(shop.rosa).post("/api/arrivals/", {"container": "K-0001"}).json()
    assert came["arrived_by"] == "Rosa Tamayo"
    assert found(program.post("/api/arrivals/", {"container": "K-0001"})) == [("container", "unknown")]
    assert program.get(ONE).json()["on_the_way"] is False
    there = program.get("/api/containers/?spot=van%202").json()["results"]
    assert [one["code"] for one in there] == ["K-0002", "K-0001"]
    assert [one["container"] for one in program.get("/api/arrivals/").json()["results"]] == ["K-0002"]
    there = program.get("/api/moves/?arrived=true").json()["results"]
    assert [one["container"] for one in there] == ["K-0001"]
    assert Movement.objects.count() == before


def test_a_move_sent_twice_moves_once(program: Program, shop: Shop) -> None:
    add_spot("van 2", "van", shop.establishment, at=NOON, by=shop.lee)
    body = {"containers": ["K-0001"], "to": "van 2", "at_once": True}
    answers = [program.post("/api/moves/", body, once="to-the-van-1") for _ in range(2)]
    assert answers[0].json() == answers[1].json()
    assert answers[0].json()["moves"][0]["arrived_by"] == "Dev Larkin"
    assert Move.objects.count() == 1


@pytest.mark.parametrize(
    ("body", "field", "code"),
    [
        ({"containers": [], "to": "van 2"}, "containers", "empty"),
        ({"containers": ["K-0001", "K-0001"], "to": "van 2"}, "containers.1", "twice"),
        ({"containers": ["K-0001", "K-9"], "to": "van 2"}, "containers.1", "unknown"),
        ({"containers": ["K-0001"], "to": "van 9"}, "to", "unknown"),
        ({"containers": "K-0001", "to": "van 2"}, "containers", "not_a_list"),
        ({"containers": [[1]], "to": "van 2"}, "containers.0", "invalid"),
    ],
)
def test_a_move_that_cannot_be_meant_is_named(
    program: Program, shop: Shop, body: Any, field: str, code: str
) -> None:
    add_spot("van 2", "van", shop.establishment, at=NOON, by=shop.lee)
    answer = program.post("/api/moves/", body)
    assert (answer.status_code, found(answer)[0]) == (400, (field, code))
    assert not Move.objects.exists()


def test_a_cylinders_room_is_what_its_page_says(program: Program, shop: Shop, dev: Client) -> None:
    """26.2 lb of water; the limit and what is left stand on the cylinder's page too."""
    cylinder_holding(shop, "RC-07", "13")
    told = program.get("/api/cylinders/RC-07/").json()
    assert told["tare"] == {"value": "17.1", "unit": "lb", "micrograms": 7_756_429_527}
    assert told["room"]["held"]["micrograms"] == 5_896_700_810  # 13 lb x 453.59237 g
    assert told["room"]["fill_until"] == "2027-11-30"  # stamped 11 22, five years
    assert told["room"]["over_the_limit"] is False
    limit, left = (round(told["room"][name]["micrograms"] / 10**6) for name in ("limit", "left"))
    page = text(dev.get("/containers/RC-07/"))
    assert f"{limit:,} g" in page
    assert f"{left:,} g" in page
    listed = program.get("/api/cylinders/?refrigerant=R-134a").json()["results"]
    assert [one["code"] for one in listed] == ["RC-07", "RC-02"]


def test_a_new_cylinder_enters_with_what_is_in_it(program: Program, shop: Shop) -> None:
    body = {
        "code": "RC-31",
        "refrigerant": "R-134a",
        "tare": {"value": "17.1", "unit": "lb"},
        "water": {"value": "26.2", "unit": "lb"},
        "gross": {"value": "20.1", "unit": "lb"},
        "requalified_on": "2024-11-01",
    }
    assert program.post("/api/cylinders/", body).status_code == 403
    lee = Program(shop.lee)
    for _ in range(2):
        told = lee.post("/api/cylinders/", body, once="new-cylinder-31").json()
    assert told["book"]["micrograms"] == 1_360_777_110  # 3 lb
    assert found(lee.post("/api/cylinders/", body)) == [("code", "code-taken")]
    late = body | {"code": "rc 31", "tare": {"value": "", "unit": "lb"}, "requalified_on": "soon"}
    assert [field for field, _ in found(lee.post("/api/cylinders/", late))] == [
        *("code", "tare.value", "requalified_on")
    ]


def test_another_shops_containers_stay_its_own(program: Program, shop: Shop) -> None:
    otis = Program(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    assert otis.post(AT, {"what": "hold", "why": "not mine"}).status_code == 404
    assert otis.get("/api/cylinders/RC-02/").status_code == 404
    assert program.get("/api/cylinders/K-0001/").status_code == 404  # a can
    add_spot("van 2", "van", shop.establishment, at=NOON, by=shop.lee)
    move_containers(
        MoveIn([Container.objects.get(pk="K-0001")], shop.establishment.spots.get()), at=NOON, by=shop.dev
    )
    assert found(otis.post("/api/arrivals/", {"container": "K-0001"})) == [("container", "unknown")]
    for address in ("/api/moves/", "/api/spots/", "/api/arrivals/", "/api/cylinders/", "/api/containers/"):
        assert otis.get(address).json()["results"] == [], address
    assert otis.get("/api/stock/").json()["shelves"] == []


def test_lists_of_the_cabinet_cost_the_same_for_few_and_for_many(program: Program, shop: Shop) -> None:
    addresses = ("/api/containers/", "/api/cylinders/", "/api/moves/", "/api/arrivals/", "/api/stock/")
    add_spot("van 2", "van", shop.establishment, at=NOON, by=shop.lee)
    first = {"containers": ["K-0001"], "to": "van 2"}
    program.post("/api/moves/", first)
    few = [queries_of(program, address) for address in addresses]
    receive(shop, slip="2")
    for number in range(10, 14):
        cylinder_holding(shop, f"RC-{number}", "3")
    rest = first | {"containers": ["K-0003", "K-0004", "K-0005", "RC-10"]}
    assert program.post("/api/moves/", rest).status_code == 201
    assert [queries_of(program, address) for address in addresses] == few


def test_a_key_that_reads_the_cabinet_does_not_write_in_it(shop: Shop, cans: list[Container]) -> None:
    reader = Program(shop.dev, scopes=[Scope.CABINET_READ])
    assert reader.get(ONE).status_code == 200
    assert reader.post(AT, {"what": "hold", "why": "valve drips"}).status_code == 403
