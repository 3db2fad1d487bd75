"""Stages that a program signs in its person's name: what they keep, and what they refuse by which field."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from compliance.models import Evacuation, FinalReadings, Recovery, Stage
from inventory.models import Container, WeighTicket
from shop.core.roles import Role
from shop.http import now
from shop.services import PersonIn, add_person
from tests.api.bay_program import BayProgram, ago, fresh_cylinder, g, micron
from tests.api.program import Program
from tests.factories import PASSWORD, Shop

pytestmark = pytest.mark.one_engine


@pytest.fixture
def job(shop: Shop, cans: list[Container]) -> BayProgram:
    """A 500 g car, checked in by Dev's tablet; RC-09 stands ready."""
    fresh_cylinder(shop)
    return BayProgram.check_in(Program(shop.dev))


def stages_of(job: BayProgram) -> list[str]:
    return [one["kind"] for one in job.get()["stages"]]


def test_a_recovery_keeps_both_readings_as_tickets_of_its_cylinder(job: BayProgram) -> None:
    gauge = {"value": "78.2", "unit": "psi"}
    told = job.post("recovery/", **job.recovery(gauge=gauge, note="oil out 5 mL"))["recovery"]
    kept = Recovery.objects.get()
    assert (told["before_ticket"], told["after_ticket"]) == (kept.before.number, kept.after.number)
    assert (told["out"]["value"], told["gauge"], kept.gauge) == ("210", gauge, "78.2 psi")
    assert (kept.stage.by.name, kept.machine.code, told["bay"]) == ("Dev Larkin", "RE-1", None)
    tickets = job.program.get("/api/containers/RC-09/tickets/").json()["results"]
    assert [one["reading"]["value"] for one in tickets][:2] == ["7966", "7756"]


def test_a_recovery_that_is_sent_twice_weighs_the_cylinder_once(job: BayProgram) -> None:
    body = job.recovery()
    first, again = (job.program.post(job.at("recovery/"), body, once="recovery-of-the-sedan") for _ in "ab")
    assert (first.status_code, first.json()) == (201, again.json())
    assert Recovery.objects.count() == 1
    assert WeighTicket.objects.filter(container="RC-09").count() == 2


@pytest.mark.parametrize(
    ("wrong", "field", "code"),
    [
        ({"after": g("7700")}, "after", "cylinder-lighter"),
        ({"after": g("7756")}, "gauge", "gauge-empty"),
        ({"cylinder": "RC-05"}, "cylinder", "cylinder-refrigerant"),
        ({"cylinder": "RC-77"}, "cylinder", "unknown"),
        ({"machine": "SC-1"}, "machine", "unknown"),
        ({"machine": "RE-2"}, "machine", "machine-refrigerant"),
        ({"identified": "mixed or unknown"}, "cylinder", "mixed-into-good"),
        ({"before": {"value": "17.1", "unit": "lb"}}, "before", "mass-unit"),
        ({"before": g("7756.5")}, "before", "mass-decimals"),
        ({"started_at": "tomorrow"}, "started_at", "invalid"),
        ({"started_at": "0001-01-01T00:00:00Z"}, "started_at", "overflow"),
        ({"started_at": "1999-01-01T00:00:00Z"}, "started_at", "before-the-car"),
        ({"gauge": {"value": "78 psi", "unit": "psi"}}, "gauge.value", "number"),
        ({"gauge": {"value": "78", "unit": "stone"}}, "gauge.unit", "invalid_choice"),
        ({"bay": {"value": "-900", "unit": "°F"}}, "bay", "temperature-unread"),
    ],
)
def test_a_recovery_that_cannot_be_is_named_by_its_field(
    job: BayProgram, wrong: dict[str, Any], field: str, code: str
) -> None:
    assert job.refused("recovery/", **job.recovery() | wrong) == {code: field}
    assert not Recovery.objects.exists()
    assert not WeighTicket.objects.exists()


def test_a_start_after_now_is_refused(job: BayProgram) -> None:
    later = (now() + timedelta(hours=1)).isoformat()
    assert job.refused("recovery/", **job.recovery(started_at=later)) == {"started-later": "started_at"}


def test_an_evacuation_keeps_its_readings_and_says_what_they_can_tell(job: BayProgram) -> None:
    told = job.post("evacuation/", **job.evacuation(hold_middle=micron("680")))
    kept = Evacuation.objects.get()
    assert (kept.deepest, kept.hold_middle, kept.minutes) == ("600 micron", "680 micron", 35)
    assert told["evacuation"]["hold_to"] == micron("720")
    assert told["answers"][0]["headline"]
    assert told["hold"] is None


def test_a_hold_by_the_clock_has_its_minutes_from_two_instants(job: BayProgram) -> None:
    clock = {"started_at": ago(24), "stopped_at": ago(4)}
    told = job.post("evacuation/", **job.evacuation(hold=clock, hold_minutes=0))
    assert told["evacuation"]["hold_minutes"] == 20
    assert told["hold"]["started_at"] < told["hold"]["stopped_at"]


@pytest.mark.parametrize(
    ("wrong", "field", "code"),
    [
        ({"stopped_at": ago(70)}, "stopped_at", "stopped-before-start"),
        ({"hold_to": None}, "hold_minutes", "hold-incomplete"),
        ({"hold_minutes": 5761}, "hold_minutes", "max_value"),
        ({"hold_minutes": 600}, "hold_minutes", "hold-too-long"),
        (
            {"hold": {"started_at": ago(4), "stopped_at": ago(24)}, "hold_minutes": 0},
            "hold.stopped_at",
            "hold-backwards",
        ),
        ({"hold": {"started_at": ago(4)}}, "hold.stopped_at", "required"),
        ({"pump": "VP-9"}, "pump", "unknown"),
        ({"deepest": None}, "deepest", "null"),
        ({"deepest": {"value": "deep", "unit": "micron"}}, "deepest.value", "number"),
        ({"result": "fine"}, "result", "invalid_choice"),
    ],
)
def test_an_evacuation_that_cannot_be_is_named_by_its_field(
    job: BayProgram, wrong: dict[str, Any], field: str, code: str
) -> None:
    found = job.refused("evacuation/", **job.evacuation() | wrong)
    assert found.get(code) == field
    assert not Evacuation.objects.exists()


def test_the_recovery_machines_own_pump_is_a_pump(job: BayProgram) -> None:
    assert job.post("evacuation/", **job.evacuation(pump="machine"))["evacuation"]["pump"] == "machine"


def test_a_leak_test_rests_on_its_weighed_charge(job: BayProgram) -> None:
    test = {"result": "no change seen on the gauge", "minutes": 20}
    assert job.refused("leak-test/", **test) == {"leak-test-unweighed": "minutes"}
    job.up_to_charge()
    job.weigh("K-0001", "466", "before")
    job.weigh("K-0001", "385", "leak test")
    pressures = {
        "pressure_start": {"value": "60", "unit": "psi"},
        "pressure_end": {"value": "60", "unit": "psi"},
    }
    warm = {"temperature": {"value": "72", "unit": "°F"}, "temperature_end": {"value": "72", "unit": "°F"}}
    told = job.post("leak-test/", **test | pressures | warm)
    assert (told["leak_test"]["minutes"], told["leak_test"]["pressure_end"]["value"]) == (20, "60")
    assert told["answers"]
    silent = {"result": "not watched"}
    assert job.refused("leak-test/", **silent) == {"required": "minutes"}


def test_a_leak_check_says_how_and_where_each_word_once(job: BayProgram) -> None:
    told = job.leak_check(methods=["dye", "eyes", "dye"], places=["hoses", "condenser"], instrument="")
    assert told["leak_check"]["methods"] == "dye, eyes"
    assert (told["leak_check"]["instrument"], told["turn"]) == ("", 1)
    assert job.leak_check()["turn"] == 2
    nowhere = {"result": "no leak seen", "methods": ["eyes"]}
    assert job.refused("leak-check/", **nowhere) == {"places-empty": "places"}
    assert job.refused("leak-check/", result="leak found", methods=["nose"]) == {
        "invalid_choice": "methods.0"
    }


def test_final_readings_come_with_what_looks_odd_about_them(job: BayProgram) -> None:
    read = {"low_side": {"value": "190", "unit": "psi"}, "high_side": {"value": "32", "unit": "psi"}}
    told = job.post("final-readings/", **read, caps_on=True, minutes=10, blower="high")
    assert "sides-swapped" in {one["code"] for one in told["findings"]}
    kept = FinalReadings.objects.get()
    assert (kept.low_side, kept.high_side, kept.minutes, kept.blower) == ("190 psi", "32 psi", 10, "high")
    assert job.refused("final-readings/") == {"readings-empty": "vent"}


def test_a_stage_that_is_not_needed_says_why(job: BayProgram) -> None:
    told = job.post("leaving-out/", stage="repair", reason="nothing was broken")
    assert (told["outcome"], told["reason"]) == ("not needed", "nothing was broken")
    assert (
        job.post("leaving-out/", stage="evacuation", outcome="stopped", reason="pump broke")["outcome"]
        == "stopped"
    )
    assert job.refused("leaving-out/", stage="check-in", reason="no car") == {"invalid_choice": "stage"}
    assert job.refused("leaving-out/", stage="repair", reason="no") == {"reason-empty": "reason"}


def test_who_has_no_card_in_force_signs_no_stage_and_may_write_down_who_worked(
    shop: Shop, job: BayProgram
) -> None:
    marta = BayProgram(Program(shop.marta), job.number)
    answer = marta.program.post(marta.at("repair/"), {"what": "condenser renewed"})
    assert (answer.status_code, answer.json()["findings"][0]["basis"]) == (
        422,
        "40 CFR 82.34(a)(2), 82.42(b)(2)",
    )
    told = marta.post("repair/", what="condenser renewed", uncertified="Ned Fallow")
    assert (told["by"], told["uncertified"]) == ("Marta Quill", "Ned Fallow")
    lee = Program(shop.lee)
    assert lee.post(job.at("repair/"), {"what": "condenser renewed"}).status_code == 403
    assert Stage.objects.filter(kind="repair").count() == 1


def test_a_job_is_handed_to_somebody_in_the_bay(shop: Shop, job: BayProgram) -> None:
    told = job.post("hand-overs/", to="Rosa Tamayo", note="vacuum holds, charge next")
    assert (told["to"], told["by"]) == ("Rosa Tamayo", "Dev Larkin")
    assert job.get()["hand_overs"] == [told]
    assert job.refused("hand-overs/", to="Lee Okonma", note="charge next") == {"unknown": "to"}
    assert job.refused("hand-overs/", to="Dev Larkin", note="charge next") == {"hand-over-self": "to"}
    second = PersonIn("Rosa Tamayo", "rosa.t", Role.TECHNICIAN, PASSWORD)
    add_person(second, shop.establishment, at=now(), by=shop.marta)
    assert job.refused("hand-overs/", to="Rosa Tamayo", note="charge next") == {"two": "to"}


def test_what_the_customer_said_is_kept_and_the_newest_holds(shop: Shop, job: BayProgram) -> None:
    lee = BayProgram(Program(shop.lee), job.number)
    lee.post("choices/", what="later", who="Ines Calloway", how="by phone")
    lee.post("choices/", what="repair", who="Ines Calloway", how="at the counter", note="go ahead")
    assert [one["what"] for one in job.get()["choices"]] == ["later", "repair"]
    assert lee.refused("choices/", what="repair", who="I", how="by phone") == {"who-empty": "who"}


def test_a_closed_job_takes_no_stage_any_more(shop: Shop, job: BayProgram) -> None:
    job.charged()
    job.post("closing/")
    told = job.get()
    for below, said in (
        ("repair/", {"what": "condenser renewed"}),
        (
            "check-in/",
            {"plate": "SMP-1", "description": "sedan", "customer": "Ines", "complaint": "noise"}
            | {"refrigerant": "R-134a"},
        ),
        ("leaving-out/", {"stage": "repair", "reason": "none needed"}),
        ("choices/", {"what": "repair", "who": "Ines Calloway", "how": "by phone"}),
        ("hand-overs/", {"to": "Rosa Tamayo", "note": "charge next"}),
        ("closing/", {}),
        ("charge/", {}),
        ("tickets/", job.on_the_pan("K-0003", "466", "before")),
    ):
        answer = job.program.post(job.at(below), said)
        assert (answer.status_code, answer.json()["findings"][0]["code"]) == (422, "job-closed"), below
    assert job.get() == told
