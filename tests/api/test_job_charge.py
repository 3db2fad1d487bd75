"""Weighing cans onto a car by requests: tickets, warnings, the wrong can, what did not stay in the car."""

from __future__ import annotations

from typing import Any

import pytest

from compliance.models import CanTicket, Charge, LightCan, Mischarge, OnTheCar
from inventory.models import Container, WeighTicket
from inventory.services import LineIn
from tests.api.bay_program import BayProgram, fresh_cylinder, g
from tests.api.program import Program
from tests.factories import Shop, receive

pytestmark = pytest.mark.one_engine


@pytest.fixture
def job(shop: Shop, cans: list[Container]) -> BayProgram:
    """A 500 g car with an empty, tight system, checked in by Dev's tablet."""
    fresh_cylinder(shop)
    job = BayProgram.check_in(Program(shop.dev))
    job.up_to_charge()
    return job


def tickets(job: BayProgram) -> list[tuple[int, str, str, str]]:
    rows = job.get("tickets/")["results"]
    return [(one["number"], one["container"], one["reading"]["value"], one["moment"]) for one in rows]


def test_a_ticket_is_written_once_and_read_again(job: BayProgram) -> None:
    body = job.on_the_pan("K-0001", "466", "before")
    first, again = (job.program.post(job.at("tickets/"), body, once="can-one-before") for _ in "ab")
    assert (first.status_code, first.json()) == (201, again.json())
    told = first.json()
    assert (told["sealed"], told["style"], told["origin"], told["by"]) == (
        True,
        "bare can",
        "weighed",
        "Dev Larkin",
    )
    job.weigh("K-0001", "128", "empty")
    number = told["number"]
    assert tickets(job) == [(number + 1, "K-0001", "128", "after"), (number, "K-0001", "466", "before")]
    assert (OnTheCar.objects.count(), CanTicket.objects.last().emptied) == (0, True)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("wrong", "status", "field", "code"),
    [
        ({"container": "K-0999"}, 400, "container", "unknown"),
        ({"what": "after lunch"}, 400, "what", "invalid_choice"),
        ({"what": "off"}, 422, "what", "no-before"),
        ({"scale": "RE-1"}, 400, "scale", "unknown"),
        ({"reading": None}, 400, "reading", "required"),
        ({"reading": g("466.5")}, 400, "reading", "mass-decimals"),
        ({"reading": {"value": "16.4", "unit": "oz"}}, 400, "reading", "mass-unit"),
        ({"container": "RC-09", "reading": g("7966")}, 422, "container", "recovered-refrigerant"),
        ({"container": "RC-09", "from_label": True}, 400, "from_label", "invalid"),
        ({"reading": g("300")}, 422, "reading", "sealed-light"),
        ({"read_at": "2020-01-01T00:00:00Z"}, 422, "read_at", "read-too-early"),
        ({"light": "heavy"}, 400, "light", "invalid_choice"),
    ],
)
def test_a_weighing_that_cannot_be_is_named_by_its_field(
    job: BayProgram, wrong: dict[str, Any], status: int, field: str, code: str
) -> None:
    written = WeighTicket.objects.count()
    answer = job.program.post(job.at("tickets/"), job.on_the_pan("K-0001", "466", "before") | wrong)
    assert answer.status_code == status
    assert (field, code) in [(one["field"], one["code"]) for one in answer.json()["findings"]]
    assert WeighTicket.objects.count() == written


def test_a_light_can_is_kept_once_somebody_said_why(job: BayProgram) -> None:
    light = job.on_the_pan("K-0001", "440", "before")
    assert job.refused("tickets/", **light) == {"sealed-light": "reading"}
    assert job.refused("tickets/", **light, seen=["sealed-light"]) == {"sealed-light": "reading"}
    assert job.post("tickets/", **light, light="short")["light"] == "short"
    assert LightCan.objects.get().why == "short"


def test_a_can_that_was_opened_unweighed_takes_its_label_weight(job: BayProgram) -> None:
    said = {"container": "K-0001", "scale": "SC-1", "what": "before", "from_label": True}
    told = job.post("tickets/", **said)
    assert (told["reading"]["value"], told["origin"]) == ("466", "from label")


def test_a_ticket_typed_wrong_is_typed_again_and_the_old_one_counts_no_more(job: BayProgram) -> None:
    job.weigh("K-0001", "466", "before")
    wrong = job.weigh("K-0001", "182", "off")
    told = job.post(f"tickets/{wrong['number']}/retyping/", scale="SC-1", reading=g("128"), empty=True)
    assert (told["reading"]["value"], told["emptied"], told["moment"]) == ("128", True, "after")
    assert wrong["number"] not in [number for number, *_ in tickets(job)]
    again = job.program.post(
        job.at(f"tickets/{wrong['number']}/retyping/"), {"scale": "SC-1", "reading": g("127")}
    )
    assert (again.status_code, again.json()["findings"][0]["code"]) == (422, "ticket-retyped")
    nobodys = job.program.post(job.at("tickets/99/retyping/"), {"scale": "SC-1", "reading": g("127")})
    assert nobodys.status_code == 404


def test_a_can_is_taken_over_from_the_other_car_by_one_reading(shop: Shop, job: BayProgram) -> None:
    job.weigh("K-0001", "466", "before")
    other = BayProgram.check_in(Program(shop.rosa), plate="SMP-418")
    other.post("evacuation/", **other.evacuation())
    before = other.on_the_pan("K-0001", "300", "before")
    assert "can-elsewhere" in other.refused("tickets/", **before)
    told = other.post("taking-over/", container="K-0001", scale="SC-1", reading=g("300"))
    assert (told["moment"], told["by"]) == ("before", "Rosa Tamayo")
    assert job.get()["on_the_car"] == []
    assert other.get()["on_the_car"] == ["K-0001"]
    assert job.get("charge/")["cans_out"]["value"] == "166"


def test_a_can_comes_off_at_its_last_reading(job: BayProgram) -> None:
    job.weigh("K-0001", "466", "before")
    assert job.refused("taking-off/", container="K-0001") == {"no-after": "container"}
    job.weigh("K-0001", "300", "stays")
    assert job.post("taking-off/", container="K-0001")["on_the_car"] is None
    assert job.refused("taking-off/", container="K-0001") == {"no-after": "container"}


def test_it_was_the_other_can_all_along(job: BayProgram) -> None:
    job.weigh("K-0001", "466", "before")
    job.weigh("K-0001", "300", "stays")
    told = job.post("refiling/", container="K-0001", really="K-0004")
    assert (told["on_the_car"], told["cans_out"]["value"]) == ("K-0004", "166")
    assert {container for _, container, *_ in tickets(job)} == {"K-0004"}
    assert job.refused("refiling/", container="K-0009", really="K-0008") == {"refile-which": "really"}


def test_a_wrong_can_that_went_in_is_written_down_and_stops_the_charge(shop: Shop, job: BayProgram) -> None:
    receive(shop, LineIn(shop.can8, 2, 2), slip="88490")
    wrong = {"container": "K-0013", "scale": "SC-1", "before": g("335"), "after": g("300")}
    told = job.post("mischarges/", **wrong)
    assert (told["refrigerant"], told["before"]["value"]) == ("R-1234yf", "335")
    assert job.get()["mischarges"] == [told]
    assert job.refused("tickets/", **job.on_the_pan("K-0001", "466", "before")) == {"mischarged": ""}
    assert Mischarge.objects.get().by == shop.dev
    same = wrong | {"container": "K-0001", "before": g("466"), "after": g("400")}
    assert job.refused("mischarges/", **same) == {"same-refrigerant": "container"}


def test_what_did_not_stay_in_the_car_is_grams_with_a_reason(job: BayProgram) -> None:
    assert job.refused("charge/") == {"no-can": ""}
    job.weigh("K-0001", "466", "before")
    job.weigh("K-0001", "128", "empty")
    assert job.refused("charge/", released=g("12")) == {"released-why": "released_why"}
    assert job.refused("charge/", hoses=g("61")) == {"hoses-absurd": "hoses"}
    assert job.refused("charge/", purged=21) == {"max_value": "purged"}
    job.post("charge/", purged=2, released=g("12"), released_why="tap left open, closed")
    kept = Charge.objects.get()
    allowed = job.get("charge/")["kept"]
    assert (kept.hoses.grams, kept.hoses_give_or_take.grams) == (6.0, 2.0)  # the shop's allowance
    assert (allowed["purge"]["micrograms"], allowed["released"]["value"]) == (kept.purge.ug, "12")


def test_the_front_office_reads_the_charge_and_weighs_nothing(shop: Shop, job: BayProgram) -> None:
    lee = BayProgram(Program(shop.lee), job.number)
    assert lee.get("charge/")["refrigerant"] == "R-134a"
    assert lee.get("tickets/")["results"] == []
    for below in (
        "tickets/",
        "charge/",
        "taking-over/",
        "taking-off/",
        "refiling/",
        "mischarges/",
        "closing/",
    ):
        assert lee.program.post(lee.at(below), {}).status_code == 403, below


def test_the_first_draw_is_previewed_as_it_is_kept_with_what_the_hoses_hold(job: BayProgram) -> None:
    """466 - 300 = 166 g out of the can, 6 of them in the hoses (the shop's rule): 160 g are in the car."""
    job.weigh("K-0001", "466", "before")
    told = job.get("if-kept/?container=K-0001&scale=SC-1&unit=g&what=off&value=300")
    assert (told["out"]["value"], told["in_car"]["value"]) == ("166", "160")
    job.weigh("K-0001", "300", "off")
    kept = job.get("charge/")
    assert (kept["cans_out"], kept["in_car"]) == (told["out"], told["in_car"])


def test_a_program_beside_the_scale_asks_what_a_reading_would_mean(job: BayProgram) -> None:
    job.weigh("K-0001", "466", "before")
    job.weigh("K-0001", "128", "empty")
    job.weigh("K-0002", "464", "before")
    written, asked = WeighTicket.objects.count(), "if-kept/?container=K-0002&scale=SC-1&unit=g&what=off"
    told = job.get(f"{asked}&value=296")
    assert (told["out"]["value"], told["in_car"]["value"], told["to_go"]["value"]) == ("168", "500", "0")
    assert (told["inside_label"], told["meant"]) == (True, None)
    told = job.get(f"{asked}&value=269")
    assert "overcharge" in {one["code"] for one in told["findings"]}
    assert (told["in_car"]["value"], told["meant"]["reading"]["value"]) == ("527", "296")
    stopped = job.get(f"{asked}&value=830")
    assert (stopped["findings"][0]["weight"], stopped["in_car"]) == ("blocks", None)
    assert job.get("if-kept/?container=K-0003&scale=SC-1&value=466&unit=g&what=before")["out"] is None
    assert WeighTicket.objects.count() == written
    wrong = job.program.get(job.at(f"{asked}&value=466.5"))
    found = wrong.json()["findings"][0]
    assert (wrong.status_code, found["field"], found["code"]) == (400, "value", "mass-decimals")
