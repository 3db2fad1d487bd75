"""Jobs as a program reads them, and a car that it checks in."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from compliance.core.stages import LeakResult
from compliance.models import CheckIn, Job
from compliance.services import Change, ChoiceIn, correct_job, place_hold, record_choice
from inventory.models import Container
from shop.http import now
from tests.api.bay_program import CAR, BayProgram
from tests.api.program import Program
from tests.compliance.packs_chosen import choose
from tests.compliance.work import Bay, rename
from tests.factories import DAY, NOON, Shop, make_establishment, make_owner

pytestmark = pytest.mark.one_engine


def listed(program: Program, asked: str = "") -> list[str]:
    return [one["number"] for one in program.get(f"/api/jobs/{asked}").json()["results"]]


def test_the_bay_is_found_by_state_plate_day_and_technician(shop: Shop, cans: list[Container]) -> None:
    Bay.check_in(shop).straight(cans[0], cans[1])
    Bay.check_in(shop, plate="SMP-418", by=shop.rosa, at=NOON + timedelta(days=1))
    program = Program(shop.lee)
    assert listed(program) == ["J24-0002", "J24-0001"]
    assert listed(program, "?open=true") == ["J24-0002"]
    assert listed(program, "?open=false") == ["J24-0001"]
    assert listed(program, "?plate=smp-417") == ["J24-0001"]
    assert listed(program, f"?until={DAY}") == ["J24-0001"]
    assert listed(program, f"?since={DAY + timedelta(days=1)}") == ["J24-0002"]
    assert listed(program, "?technician=Rosa Tamayo") == ["J24-0002"]
    assert listed(program, "?refrigerant=R-1234yf") == []
    row = program.get("/api/jobs/?open=false").json()["results"][0]
    assert (row["plate"], row["closing"]["charged"], row["closing"]["by"]) == ("SMP-417", True, "Dev Larkin")
    assert "customer" not in row


def test_a_job_is_found_by_who_did_it_as_a_slip_says(shop: Shop, cans: list[Container]) -> None:
    bay, program = Bay.check_in(shop), Program(shop.lee)
    bay.straight(cans[0], cans[1])
    assert listed(program, "?technician=Rosa Tamayo") == []
    moment = bay.later()
    changes = [
        Change("recovery-1-by", "Dev Larkin (dev)", "Rosa Tamayo (rosa)"),
        Change("leak-check-1-by", "Dev Larkin (dev)", "Lee Okonma (no 609 card)"),
    ]
    correct_job(bay.job, changes, why="signed on as Dev", on=moment.date(), at=moment, by=shop.marta)
    assert listed(program, "?technician=Rosa Tamayo") == ["J24-0001"]
    assert listed(program, "?technician=Dev Larkin") == ["J24-0001"]  # the other stages are his
    told = {one["kind"]: one for one in program.get("/api/jobs/J24-0001/").json()["stages"]}
    assert (told["recovery"]["by"], told["recovery"]["uncertified"]) == ("Rosa Tamayo", None)
    assert (told["leak-check"]["by"], told["leak-check"]["uncertified"]) == ("Dev Larkin", "Lee Okonma")


def test_a_long_list_asks_the_database_no_more_than_a_short_one(shop: Shop) -> None:
    program, asked = Program(shop.marta), list[int]()
    listed(program)
    for plates in (range(1), range(1, 8)):
        for plate in plates:
            Bay.check_in(shop, plate=f"SMP-{plate}")
        with CaptureQueriesContext(connection) as queries:
            assert len(listed(program)) == max(plates) + 1
        asked.append(len(queries))
    assert asked[0] == asked[1]


def test_a_job_with_much_in_it_is_read_in_as_many_questions_as_one_with_little(
    bay: Bay, cans: list[Container], shop: Shop
) -> None:
    program, asked = Program(shop.marta), dict[str, set[int]]()
    bay.evacuate()
    for can in cans[:4]:
        bay.draw(can, "466", "440")
        record_choice(bay.job, ChoiceIn("repair", "Ines Calloway", "by phone"), at=now(), by=shop.lee)
        for below in ("", "charge/", "tickets/"):
            program.get(f"/api/jobs/{bay.job.number}/{below}")
            with CaptureQueriesContext(connection) as queries:
                program.get(f"/api/jobs/{bay.job.number}/{below}")
            asked.setdefault(below, set()).add(len(queries))
    assert {below: len(each) for below, each in asked.items()} == {"": 1, "charge/": 1, "tickets/": 1}


def test_a_car_is_checked_in_once_however_often_the_request_comes(shop: Shop) -> None:
    program = Program(shop.lee)
    first = program.post("/api/jobs/", CAR, once="the-blue-sedan")
    again = program.post("/api/jobs/", CAR, once="the-blue-sedan")
    assert (first.status_code, first.json()) == (201, again.json())
    assert Job.objects.count() == 1
    told = first.json()
    assert (told["check_in"]["customer"], told["plate"]) == ("Ines Calloway", "SMP-417")
    assert told["check_in"]["label"]["tolerance"] == {"value": "20", "unit": "g", "micrograms": 20_000_000}
    assert (told["next_stage"], told["sum"], told["certificate"]) == ("recovery", None, None)
    other = program.post("/api/jobs/", CAR)
    assert (other.status_code, other.json()["findings"][0]["code"]) == (422, "job-open")


@pytest.mark.parametrize(
    ("wrong", "status", "field", "code"),
    [
        ({"plate": ""}, 422, "vin", "vehicle-unnamed"),
        ({"label": {"charge": {"value": "5", "unit": "g"}}}, 422, "label.charge", "label-charge"),
        (
            {"label": {"charge": {"value": "five", "unit": "g"}}},
            400,
            "label.charge.value",
            "mass-not-a-number",
        ),
        ({"label": {"tolerance": {"value": "20", "unit": "g"}}}, 400, "label.charge", "required"),
        (
            {"label": CAR["label"] | {"tolerance": {"value": "400", "unit": "g"}}},  # type: ignore[operator]
            422,
            "label.tolerance",
            "label-tolerance",
        ),
        (
            {"label": CAR["label"] | {"source": "other source"}},  # type: ignore[operator]
            422,
            "label.source_note",
            "source-unnamed",
        ),
        ({"refrigerant": "R-12"}, 400, "refrigerant", "unknown"),
        ({"customer": " "}, 400, "customer", "blank"),
        ({"compressor": "steam"}, 400, "compressor", "invalid_choice"),
    ],
)
def test_what_a_check_in_lacks_is_named_by_its_field(
    shop: Shop, wrong: dict[str, Any], status: int, field: str, code: str
) -> None:
    answer = Program(shop.lee).post("/api/jobs/", CAR | wrong)
    found = answer.json()["findings"][0]
    assert (answer.status_code, found["field"], found["code"]) == (status, field, code)
    assert not Job.objects.exists()


def test_a_car_without_a_label_is_checked_in_and_its_target_is_unknown(shop: Shop) -> None:
    retrofit = {"labelled": True, "fittings": False}
    job = BayProgram.check_in(Program(shop.rosa), label=None, retrofit=retrofit, rear_air=True)
    told = job.get()["check_in"]
    assert (told["label"], told["rear_air"]) == (None, True)
    assert told["retrofit"] == {"labelled": True, "fittings": False, "removed": False}
    assert job.get("charge/")["to_go"] is None


def test_the_check_in_is_written_again_by_the_bay_and_not_by_the_front_office(shop: Shop) -> None:
    job = BayProgram.check_in(Program(shop.lee))
    assert job.program.post(job.at("check-in/"), CAR).status_code == 403
    bay = BayProgram(Program(shop.dev), job.number)
    assert bay.post("check-in/", **CAR | {"odometer": "84,210"})["check_in"]["odometer"] == "84,210"
    assert CheckIn.objects.count() == 2


def test_what_stops_the_signature_is_said_before_it_is_tried(bay: Bay, shop: Shop) -> None:
    program = Program(shop.dev)
    bay.recover()
    bay.leak_check(LeakResult.FOUND, "condenser")
    told = program.get(f"/api/jobs/{bay.job.number}/").json()
    stops = {one["code"] for one in told["closing_findings"] if one["weight"] == "blocks"}
    refused = program.post(f"/api/jobs/{bay.job.number}/closing/", {}).json()
    assert stops == {one["code"] for one in refused["findings"] if one["weight"] == "blocks"}
    assert {"nothing-charged", "stage-open"} <= stops
    assert told["stages"][1]["recovery"]["out"] == {"value": "210", "unit": "g", "micrograms": 210_000_000}


def test_a_job_put_right_reads_as_its_slip_says_everywhere(
    bay: Bay, cans: list[Container], shop: Shop
) -> None:
    paper = bay.straight(cans[0], cans[1]).certificates.get().document
    rename(paper, "Inez Calloway", "misspelt", at=NOON + timedelta(hours=9), by=shop.marta)
    place_hold(bay.job, why="disputed", at=now(), by=shop.lee)
    program = Program(shop.lee)
    told = program.get(f"/api/jobs/{bay.job.number}/").json()
    assert told["check_in"]["customer"] == "Inez Calloway"
    assert (told["certificate"]["version"], told["corrections"]) == (2, ["CS24-0001"])
    assert (told["held"]["why"], told["closing_findings"]) == ("disputed", [])
    slip = program.get(f"/api/corrections/?job={bay.job.number}&since={DAY}").json()["results"][0]
    assert (slip["why"], slip["fields_put_right"][0]["old"]) == ("misspelt", "Ines Calloway")
    held = program.get("/api/holds/?running=true").json()["results"][0]
    assert (held["job"], held["by"], held["end"]) == (bay.job.number, "Lee Okonma", None)
    assert program.get("/api/holds/?running=false").json()["results"] == []


def test_wisconsin_wants_the_customer_told_and_the_front_office_says_how(shop: Shop) -> None:
    choose(shop, "WI")
    job = BayProgram(Program(shop.lee), Bay.check_in(shop).job.number)
    asked = job.get()["asked"][0]
    item, code = asked["items"][0]["item"], asked["code"]
    wrong = {"item": item, "answer": "ok"}
    assert job.refused("answers/", code=code, answers=[wrong]) == {"invalid_choice": "answers.0.answer"}
    quiet = {"item": item, "answer": "not told"}
    assert job.refused("answers/", code=code, answers=[quiet]) == {"answer-why": "why"}
    told = job.post("answers/", code=code, answers=[{"item": item, "answer": "told by phone"}])
    assert told["items"][0]["answer"] == "told by phone"
    for not_asked in (
        "ca-checklist",
        "us-equipment-statement",
    ):  # of another state; a rule that nobody answers
        assert job.refused("answers/", code=not_asked, answers=[quiet]) == {"answer-unasked": ""}


def test_california_asks_the_bay_what_it_saw_and_not_the_front_office(shop: Shop) -> None:
    choose(shop, "CA")
    bay = Bay.check_in(shop)
    lee, dev = (BayProgram(Program(one), bay.job.number) for one in (shop.lee, shop.dev))
    assert [one["kind"] for one in lee.get()["asked"]] == []
    asked = next(one for one in dev.get()["asked"] if one["kind"] == "checklist")
    seen = {"item": asked["items"][0]["item"], "answer": "ok"}
    assert lee.refused("answers/", code=asked["code"], answers=[seen]) == {"answer-by": ""}
    assert dev.post("answers/", code=asked["code"], answers=[seen])["items"][0]["answer"] == "ok"


def test_another_shops_jobs_are_nowhere_to_be_found(bay: Bay) -> None:
    otis = Program(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    assert listed(otis) == []
    for below in ("", "charge/", "tickets/"):
        assert otis.get(f"/api/jobs/{bay.job.number}/{below}").status_code == 404
    for below, said in (
        ("closing/", {}),
        ("leaving-out/", {"stage": "repair", "reason": "none needed"}),
        ("tickets/", {"nothing": 0}),
    ):
        assert otis.post(f"/api/jobs/{bay.job.number}/{below}", said).status_code == 404
    assert bay.job.stages.count() == 1


def test_the_draft_of_a_usage_report_says_what_would_stop_its_signature(
    bay: Bay, cans: list[Container], shop: Shop
) -> None:
    bay.straight(cans[0], cans[1])
    waiting, program = Bay.check_in(shop, plate="SMP-418"), Program(shop.lee)
    told = program.get("/api/usage-report/?since=2024-04-01&until=2024-06-30&co2e=ar4").json()
    assert [one["code"] for one in told["would_stop"]] == ["job-open"]
    assert waiting.job.number in told["would_stop"][0]["sentence"]
    facts = told["facts"]
    assert (facts["new"][0]["vehicles_ug"], facts["number"], facts["co2e"]["table"]) == (
        503_000_000,
        "",
        "ar4",
    )
    assert Program(shop.dev).get("/api/usage-report/?since=2024-04-01&until=2024-06-30").status_code == 403


@pytest.mark.parametrize(
    ("asked", "field", "code"),
    [
        ("since=2024-06-30&until=2024-04-01", "until", "period-backwards"),
        ("since=0001-01-01&until=2024-04-01", "since", "early"),
        ("since=2024-04-01", "until", "required"),
        ("since=April&until=2024-06-30", "since", "invalid"),
        ("since=2024-04-01&until=2024-06-30&co2e=guess", "co2e", "invalid_choice"),
    ],
)
def test_days_that_are_no_period_are_named(shop: Shop, asked: str, field: str, code: str) -> None:
    answer = Program(shop.marta).get(f"/api/usage-report/?{asked}")
    found = answer.json()["findings"][0]
    assert (answer.status_code, found["field"], found["code"]) == (400, field, code)


def test_a_report_of_days_to_come_is_refused(shop: Shop) -> None:
    later = timezone.localdate(now()) + timedelta(days=40)
    answer = Program(shop.marta).get(f"/api/usage-report/?since=2024-04-01&until={later}")
    assert answer.json()["findings"][0]["code"] == "period-future"
