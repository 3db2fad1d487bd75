"""The refrigerant book on a day, through a program: the same sums as the pages and the usage report rest on."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.utils import timezone

from inventory.core.ledger import PlaceKind
from inventory.models import Container, Movement
from inventory.queries import flows_up_to, held_by
from inventory.services import close_months
from shop.core.mass import Mass, total
from shop.core.scopes import Scope
from shop.http import now
from tests.api.program import Program, queries_of
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, SET_UP, Shop, book_of, make_establishment, make_owner, receive

pytestmark = pytest.mark.one_engine

BEFORE = DAY - timedelta(days=1)


@pytest.fixture
def program(shop: Shop, bay: Bay, cans: list[Container]) -> Program:
    bay.straight(cans[0], cans[1])
    return Program(shop.dev)


def held(told: dict[str, Any]) -> dict[str, tuple[int, int]]:
    return {
        one["refrigerant"]: (one["in_cans"]["micrograms"], one["in_cylinders"]["micrograms"])
        for one in told["held"]
    }


def test_a_day_holds_what_the_book_holds_and_the_day_before_nothing(program: Program, shop: Shop) -> None:
    told = program.get(f"/api/book/days/{DAY}/").json()
    assert (told["day"], told["closed"]) == (str(DAY), False)
    cans = total(mass for code, mass in book_of(shop).items() if code.startswith("K-"))
    assert held(told)["R-134a"] == (cans.ug, book_of(shop)["RC-02"].ug)
    assert held(program.get(f"/api/book/days/{BEFORE}/").json()) == {}
    charged = [one["mass"]["micrograms"] for one in told["flows"] if one["purpose"] == "charged"]
    assert sum(charged) == total(Movement.objects.filter(purpose="charged").values_list("mass", flat=True)).ug


def test_its_containers_add_up_to_what_is_held(program: Program, shop: Shop) -> None:
    at = f"/api/book/days/{DAY}/containers/"
    rows = program.get(at).json()["results"]
    by_kind = {
        kind: sum(one["held"]["micrograms"] for one in rows if one["kind"] == kind)
        for kind in ("can", "cylinder")
    }
    assert held(program.get(f"/api/book/days/{DAY}/").json())["R-134a"] == tuple(by_kind.values())
    assert {one["container"]: Mass(one["held"]["micrograms"]) for one in rows} == {
        code: mass for code, mass in book_of(shop).items() if mass > Mass(0)
    }
    assert program.get(f"{at}?kind=cylinder").json()["results"][0]["container"] == "RC-02"
    assert program.get(f"/api/book/days/{BEFORE}/containers/").json()["results"] == []


def test_a_closed_month_says_so_and_keeps_its_sums(program: Program, shop: Shop) -> None:
    last = date(2024, 4, 30)
    before = program.get(f"/api/book/days/{last}/").json()
    close_months(shop.establishment, last_day=last, at=NOON, by=shop.marta)
    receive(shop, slip="2", on=date(2024, 5, 2))
    after = program.get(f"/api/book/days/{last}/").json()
    assert after == before | {"closed": True}
    months = program.get("/api/book/months/").json()["results"]
    assert [(one["last_day"], one["closed_by"]) for one in months] == [("2024-04-30", "Marta Quill")]
    may = date(2024, 5, 2)
    flows = flows_up_to(shop.establishment, may)
    told = held(program.get(f"/api/book/days/{may}/").json())
    assert told["R-134a"][0] == held_by(flows, "R-134a", PlaceKind.CAN).ug


@pytest.mark.parametrize("day", ["2024-02-30", "yesterday", "20240402x", "0", "2999-01-01"])
def test_a_day_that_is_none_or_has_not_come_is_nowhere(program: Program, day: str) -> None:
    assert program.get(f"/api/book/days/{day}/").status_code == 404
    assert program.get(f"/api/book/days/{day}/containers/").status_code == 404


def test_another_shops_book_is_empty(program: Program) -> None:
    otis = Program(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    today = timezone.localdate(now())
    assert otis.get(f"/api/book/days/{today}/").json()["held"] == []
    assert otis.get(f"/api/book/days/{today}/containers/").json()["results"] == []
    assert otis.get("/api/book/months/").json()["results"] == []


def test_a_key_without_the_book_opens_no_day_of_it(program: Program, shop: Shop) -> None:
    cabinet = Program(shop.dev, scopes=[Scope.CABINET_READ])
    assert cabinet.get(f"/api/book/days/{SET_UP}/").status_code == 403


def test_the_sums_of_a_day_cost_the_same_however_much_moved(program: Program, shop: Shop) -> None:
    addresses = (f"/api/book/days/{DAY}/", f"/api/book/days/{DAY}/containers/")
    few = [queries_of(program, address) for address in addresses]
    for slip in range(2, 6):
        receive(shop, slip=str(slip))
    assert [queries_of(program, address) for address in addresses] == few
