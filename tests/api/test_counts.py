"""A count by a program: blind, whole, and booked as the page books it."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from inventory.models import Container, Count, CountDraft, CountLeftOut, Movement
from inventory.services import OpeningIn, PausedIn, keep_count, open_cabinet
from shop.core.mass import Mass, grams
from tests.api.program import Program, queries_of
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop, cylinder_holding, make_establishment, make_owner, receive
from tests.pages import text

pytestmark = pytest.mark.one_engine

AT = "/api/counts/"
TWELVE = [f"K-{number:04d}" for number in range(1, 13)]


def weighed(code: str, value: str) -> dict[str, Any]:
    return {"container": code, "scale": "SC-1", "reading": {"value": value, "unit": "g"}}


WHOLE: dict[str, Any] = {
    "sealed": TWELVE,
    "weighed": [weighed("RC-02", "7757"), weighed("RC-05", "7757")],
}


@pytest.fixture
def program(shop: Shop, cans: list[Container]) -> Program:
    return Program(shop.lee)


def found(answer: Any) -> list[tuple[str, str]]:
    return [(one["field"], one["code"]) for one in answer.json()["findings"]]


def charged(bay: Bay, cans: list[Container]) -> Bay:
    """An open job: K-0001 from 466 to 128 g and empty, K-0002 from 464 to 293 g; 210 g into RC-07, now 10,234 g."""
    bay.recover("10024", "10234", cylinder_holding(bay.shop, "RC-07", "5"))
    bay.leak_check()
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    return bay


def test_eleven_sealed_and_one_light_can_differ_by_what_is_gone(program: Program, lee: Client) -> None:
    """A can of 452 g holds 326 of its 340 g: 14 are gone. Each cylinder shows 7757 g over a tare of 7756.429527 g."""
    body = {**WHOLE, "sealed": TWELVE[1:], "weighed": [*WHOLE["weighed"], weighed("K-0001", "452")]}
    before = Movement.objects.count()
    told = program.post(AT, body).json()
    sums = {one["refrigerant"]: one for one in told["sums"]}
    assert sums["R-134a"]["found"]["micrograms"] == 11 * 340_000_000 + 326_000_000 + 570_473
    assert sums["R-134a"]["difference"]["micrograms"] == -14_000_000 + 570_473
    assert sums["R-1234yf"]["difference"]["micrograms"] == 570_473
    assert Movement.objects.count() == before + 3
    assert program.get(f"{AT}{told['id']}/").json() == told
    assert "−13 g" in text(lee.get(f"/counts/{told['id']}/"))


def test_what_has_no_answer_is_asked_about_before_anything_is_signed(program: Program) -> None:
    asked = program.post(AT, {"sealed": TWELVE[:10]})
    assert (asked.status_code, found(asked)) == (422, [("rest", "count-rest")])
    assert "K-0011, K-0012, RC-02, RC-05" in asked.json()["detail"]
    assert not Count.objects.exists()
    out = program.post(AT, {"sealed": TWELVE[:10], "rest": "leave out"}).json()
    assert [one["container"] for one in out["left_out"]] == ["K-0011", "K-0012", "RC-02", "RC-05"]
    assert CountLeftOut.objects.count() == 4


def test_what_was_looked_for_and_not_found_is_booked_as_a_difference(program: Program) -> None:
    said = {"refrigerant": "R-134a", "sealed": TWELVE[:10], "weighed": [weighed("RC-02", "7757")]}
    told = program.post(AT, said | {"rest": "not found"}).json()
    assert [one["refrigerant"] for one in told["sums"]] == ["R-134a"]
    assert told["sums"][0]["difference"]["micrograms"] == -2 * 340_000_000 + 570_473
    missed = [one["container"] for one in told["lines"] if one["how"] == "missing"]
    assert missed == ["K-0011", "K-0012"]
    shelf = program.get("/api/stock/").json()["shelves"][1]
    assert (shelf["sealed"], shelf["not_found"]) == (10, missed)


def test_one_can_is_named_as_not_found_and_the_rest_left_out(program: Program) -> None:
    told = program.post(AT, {"not_found": ["K-0012"], "rest": "leave out"}).json()
    assert [(one["container"], one["how"]) for one in told["lines"]] == [("K-0012", "missing")]
    assert len(told["left_out"]) == 13
    again = program.post(AT, {"sealed": ["K-0012"], "rest": "leave out"}).json()  # it turned up
    assert again["lines"][0]["difference"]["micrograms"] == 340_000_000


def test_a_count_sent_twice_is_signed_once(program: Program) -> None:
    answers = [program.post(AT, WHOLE, once="count-of-november") for _ in range(3)]
    assert [one.status_code for one in answers] == [201] * 3
    assert Count.objects.count() == 1
    again = program.post(AT, WHOLE)
    assert found(again) == [("", "counted-lately")]
    nothing_new = program.post(AT, {"not_found": TWELVE[:2], "rest": "leave out"})
    assert found(nothing_new) == [("", "counted-lately")]


def test_what_was_missed_within_the_hour_is_not_missed_again_and_may_turn_up(program: Program) -> None:
    missed = {"not_found": ["K-0012"], "rest": "leave out"}
    assert program.post(AT, missed).status_code == 201
    again = program.post(AT, missed)
    assert (found(again), Count.objects.count()) == ([("", "counted-lately")], 1)
    assert "R-134a was counted at" in again.json()["detail"]
    assert program.post(AT, {"sealed": ["K-0012"], "rest": "leave out"}).status_code == 201


def test_what_an_open_job_has_is_asked_about_first_and_counted_like_with_like(
    program: Program, bay: Bay, cans: list[Container]
) -> None:
    """K-0002: 340 - (464 - 293) = 169 g expected, 293 - 126 = 167 g found: it came 2 g short of its label."""
    charged(bay, cans)
    rest = {"rest": "leave out"}
    asked = program.post(AT, rest | {"waiting": ["RC-07"]})
    assert found(asked) == [("waiting", "count-undecided")] * 2
    wrong = program.post(AT, rest | {"waiting": ["RC-07", "K-0001"], "sealed": ["K-0002"]})
    assert ("sealed.0", "container-waits") in found(wrong)
    told = program.post(AT, rest | {"waiting": ["RC-07", "K-0001"], "at_last_ticket": ["K-0002"]}).json()
    line = told["lines"][0]
    assert (line["container"], line["how"]) == ("K-0002", "last ticket")
    assert (line["expected"]["value"], line["found"]["value"]) == ("169", "167")
    why = {one["container"]: one["why"] for one in told["left_out"]}
    assert why["K-0001"] == f"waits for {bay.job.number} to close"


@pytest.mark.parametrize(
    ("body", "status", "field", "code"),
    [
        ({"sealed": ["K-0001", "K-0001"]}, 400, "sealed.1", "twice"),
        ({"sealed": ["K-9999"]}, 400, "sealed.0", "unknown"),
        ({"sealed": ["RC-02"]}, 422, "sealed.0", "count-open"),
        ({"sealed": ["K-0001"], "not_found": ["K-0001"]}, 422, "not_found.0", "counted-twice"),
        ({"weighed": [weighed("K-0001", "46.6")]}, 400, "weighed.0.reading", "mass-decimals"),
        ({"weighed": [weighed("RC-02", "756")]}, 422, "weighed.0.reading", "below-tare"),
        ({"weighed": [weighed("K-0001", "466") | {"scale": "SC-9"}]}, 400, "weighed.0.scale", "unknown"),
        ({"at_last_ticket": ["K-0001"]}, 422, "at_last_ticket.0", "no-last-ticket"),
        ({"refrigerant": "R-1234yf", "sealed": ["K-0001"]}, 400, "sealed.0", "other-count"),
        ({"refrigerant": "R-99"}, 400, "refrigerant", "unknown"),
        ({"rest": "forget it"}, 400, "rest", "invalid_choice"),
        ({"waiting": ["K-0001"]}, 422, "", "count-empty"),
    ],
)
def test_what_is_wrong_with_a_count_is_named_and_nothing_is_signed(
    program: Program, body: Any, status: int, field: str, code: str
) -> None:
    answer = program.post(AT, {"rest": "leave out"} | body)
    assert (answer.status_code, found(answer)[0]) == (status, (field, code))
    assert not Count.objects.exists()


def test_a_count_leaves_what_somebody_paused_alone(program: Program, shop: Shop) -> None:
    typed: dict[str, Any] = {"here": ["K-0001"], "again": [], "weights": {}, "moving": {}, "plain": {}}
    keep_count(PausedIn("", typed, {}, 1, 14, 0), shop.establishment, at=NOON, by=shop.marta)
    assert program.post(AT, WHOLE).status_code == 201
    assert CountDraft.objects.count() == 1


def test_technicians_read_counts_and_sign_none(program: Program, shop: Shop) -> None:
    told = program.post(AT, WHOLE).json()
    dev = Program(shop.dev)
    assert dev.post(AT, WHOLE).status_code == 403
    assert dev.get(f"{AT}{told['id']}/").json()["counted_by"] == "Lee Okonma"
    for query, rows in (
        ("refrigerant=R-134a", 1),
        ("refrigerant=R-152a", 0),
        ("opening=true", 0),
        (f"since={told['on']}", 1),
        ("until=2020-01-01", 0),
    ):
        assert len(dev.get(f"{AT}?{query}").json()["results"]) == rows, query


def test_the_limit_of_the_shop_stands_beside_the_difference(program: Program, shop: Shop) -> None:
    told = program.post(AT, WHOLE).json()
    limits = {one["refrigerant"]: one for one in told["limits"]}
    assert limits["R-134a"]["handled"]["micrograms"] == 0
    assert limits["R-134a"]["limit"]["micrograms"] > 0


def test_another_shop_sees_no_count_and_counts_none_of_its_cans(program: Program) -> None:
    told = program.post(AT, WHOLE).json()
    otis = Program(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    assert otis.get(f"{AT}{told['id']}/").status_code == 404
    assert otis.get(AT).json()["results"] == []
    assert found(otis.post(AT, {"sealed": ["K-0001"]}))[0] == ("sealed.0", "unknown")


def test_a_list_of_counts_costs_the_same_for_one_and_for_many(program: Program, shop: Shop) -> None:
    program.post(AT, {"sealed": ["K-0001"], "rest": "leave out"})
    few = queries_of(program, AT)
    for code in TWELVE[1:6]:
        assert program.post(AT, {"sealed": [code], "rest": "leave out"}).status_code == 201
    assert (len(program.get(AT).json()["results"]), queries_of(program, AT)) == (6, few)


def test_the_book_agrees_with_the_count(program: Program, shop: Shop) -> None:
    """After a count the book holds what was found, can by can and in all."""
    receive(shop, slip="2", on=DAY)
    program.post(AT, {"sealed": TWELVE[:11], "not_found": ["K-0012"], "rest": "leave out"})
    held = Movement.objects.balances(TWELVE)
    assert (held["K-0011"], held["K-0012"]) == (grams(340), Mass(0))


def test_a_count_of_a_whole_warehouse_is_read_like_any_other(
    program: Program, shop: Shop, lee: Client
) -> None:
    """A database refuses a question that names more than a thousand containers one by one."""
    stock = [OpeningIn(shop.can8, 400, lot) for lot in ("A", "B", "C")]
    opened = open_cabinet(stock, shop.establishment, on=DAY, at=NOON, by=shop.lee)
    told = program.get(f"{AT}{opened.pk}/").json()
    assert (len(told["lines"]), told["opening"]) == (1200, True)
    assert told["sums"][0]["found"]["micrograms"] == 1200 * 227_000_000
    assert lee.get(f"/counts/{opened.pk}/").status_code == 200
