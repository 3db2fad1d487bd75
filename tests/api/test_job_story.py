"""A job from check-in to its certificate by requests alone, against what the pages, the book and the paper say."""

from __future__ import annotations

import json
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.utils import timezone

from compliance.models import Document, Job
from compliance.queries import job_sheet
from compliance.queries.charge_view import charge_view
from inventory.models import Container, Movement
from shop.core.mass import grams
from shop.http import now
from tests.api.bay_program import CAR, BayProgram, fresh_cylinder, g
from tests.api.program import Program
from tests.factories import Shop

pytestmark = pytest.mark.one_engine


@pytest.fixture
def job(shop: Shop, cans: list[Container]) -> BayProgram:
    """A 500 g car, checked in by Dev's tablet; RC-09 stands ready."""
    fresh_cylinder(shop)
    return BayProgram.check_in(Program(shop.dev))


def test_the_sample_job_ends_as_it_does_on_the_pages(shop: Shop, job: BayProgram, dev: Client) -> None:
    job.charged()
    told = job.get()
    assert [one["kind"] for one in told["stages"]] == [
        *("check-in", "recovery", "leak-check", "evacuation", "charge", "final-readings"),
    ]
    assert [one for one in told["closing_findings"] if one["weight"] == "blocks"] == []
    first, again = (job.program.post(job.at("closing/"), {}, once="dev-signs-the-sedan") for _ in "ab")
    assert (first.status_code, again.status_code, first.json()) == (201, 201, again.json())
    closed = first.json()
    paper = Document.objects.get(number=closed["certificate"]["number"])
    facts = json.loads(paper.facts)
    assert (facts["charge"]["vehicle_ug"], told["sum"]["vehicle"]["micrograms"]) == (503_000_000,) * 2
    assert closed["certificate"]["pdf_sha256"] == paper.pdf_sha256
    assert closed["link"]["hash"] == Job.objects.get().closing.link.hash
    assert (closed["charged"], closed["by"]) == (True, "Dev Larkin")
    out = Movement.objects.filter(entry=closed["entry"])
    moved = {(one.source_id, one.target_id): one.mass for one in out}
    assert moved["vehicles", "RC-09"] == grams(210)
    assert sum(mass.ug for (_, target), mass in moved.items() if target == "vehicles") == 503_000_000
    assert f"Service certificate {paper.number}" in dev.get(f"/bay/{job.number}/").content.decode()
    told = job.get()
    assert (told["certificate"]["number"], told["next_stage"]) == (paper.number, None)
    assert told["closing"]["charged"] is True
    mine = job.program.get(f"/api/papers/?job={job.number}").json()["results"]
    assert [one["number"] for one in mine] == [paper.number]


def test_while_it_is_charged_the_program_reads_what_the_charge_page_shows(job: BayProgram) -> None:
    job.up_to_charge()
    assert job.get("charge/")["next_cans"][0]["container"] == "K-0001"
    job.weigh("K-0001", "466", "before")
    told, view = job.get("charge/"), charge_view(job_sheet(Job.objects.get()))
    assert view.leak_test_stop is not None
    assert told["leak_test_stop_at"]["value"] == view.leak_test_stop.text == "385"  # 466 - 15 % of 500 - 6
    assert (told["on_the_car"], told["stop_at"]["value"], told["stop_is_enough"]) == ("K-0001", "126", False)
    job.weigh("K-0001", "128", "empty")
    job.weigh("K-0002", "464", "before")
    told = job.get("charge/")
    assert told["stop_at"] == {
        "value": "296",
        "unit": "g",
        "micrograms": 296_000_000,
    }  # 464 - (500 + 6 - 338)
    assert (told["in_car"]["value"], told["to_go"]["value"], told["stop_is_enough"]) == ("332", "168", True)
    job.weigh("K-0002", "293", "off")
    told = job.post("charge/", hoses=g("6"))
    assert (told["sum"]["deviation"]["value"], told["sum"]["verdict"]) == ("3", "shown")
    view = charge_view(job_sheet(Job.objects.get()))
    assert view.sums is not None
    assert told["sum"]["give_or_take"]["micrograms"] == round(view.sums.expanded_g * 1_000_000)
    assert (told["kept"]["hoses"]["value"], told["by"]) == ("6", "Dev Larkin")


def test_a_job_belongs_to_the_day_on_the_shops_own_clock(shop: Shop, job: BayProgram) -> None:
    assert job.get()["on"] == timezone.localdate(now(), ZoneInfo(shop.establishment.time_zone)).isoformat()


def test_an_overshoot_is_recovered_back_and_the_sum_says_so(job: BayProgram) -> None:
    job.up_to_charge()
    job.weigh("K-0001", "466", "before")
    job.weigh("K-0001", "128", "empty")
    job.weigh("K-0002", "464", "before")
    assert job.refused("tickets/", **job.on_the_pan("K-0002", "250", "off")) == {"overcharge": "reading"}
    job.weigh("K-0002", "250", "off", seen=["overcharge"])
    told = job.get("charge/")
    assert (told["in_car"]["value"], told["over"]["value"]) == ("546", "46")
    job.post("recovery/", **job.recovery("7966", "8006"))
    job.post("charge/", hoses=g("6"))
    told = job.get()["sum"]
    assert told["losses"]["recovered_back"] == {"value": "40", "unit": "g", "micrograms": 40_000_000}
    assert (told["vehicle"]["value"], told["cans_out"]["value"]) == ("506", "552")


def test_a_car_that_stays_empty_is_closed_as_not_charged(shop: Shop, job: BayProgram) -> None:
    job.post("recovery/", **job.recovery())
    found = job.leak_check(result="leak found", detail="condenser lower left", size="steady")
    assert found["leak_check"]["detail"] == "condenser lower left, steady"
    job.post("choices/", what="decline", who="Ines Calloway", how="by phone")
    assert "nothing-charged" in {one["code"] for one in job.get()["closing_findings"]}
    for kind in ("repair", "evacuation", "charge", "final-readings"):
        job.post("leaving-out/", stage=kind, reason="the customer declined")
    ending = {"stops": ["leak found", "customer declined"], "stopped": "condenser lower left"}
    ending |= {"state_now": "recovered 210 g, empty, ports capped", "choice": "declined, by phone"}
    closed = job.post("closing/", not_charged=ending)
    assert closed["charged"] is False
    facts = json.loads(Document.objects.get().facts)
    assert "leak found, customer declined, condenser lower left" in json.dumps(facts)
    assert job.get()["choices"][0]["what"] == "decline"


def test_pounds_and_ounces_of_a_label_are_kept_as_printed_and_reckoned_once(job: BayProgram) -> None:
    label = {"charge": {"value": "1 lb 2 oz", "unit": "lb+oz"}}
    told = job.post("check-in/", **CAR | {"label": label})
    kept = told["check_in"]["label"]
    assert kept["charge"]["value"] == "1 lb 2 oz"
    assert kept["charge"]["micrograms"] == 510_291_416  # 18 oz of 28.349523125 g, half-even
    assert kept["tolerance"] is None
    assert [one["version"] for one in told["stages"] if one["kind"] == "check-in"] == [2]
