"""The leak-test hold of a job: what its page answers, what it refuses, what the certificate says of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from django.test import Client

from compliance.core.certificate_facts import CertificateFacts
from compliance.core.stages import PressureResult
from compliance.models import Certificate, Closing, LeakTest
from compliance.queries import job_sheet
from compliance.queries.leak_view import leak_test_answer
from compliance.services import LeakTestIn, record_leak_test
from inventory.models import Container
from shop.core.canonical import rebuild
from shop.core.findings import Refused
from tests.compliance.work import Bay, Moment
from tests.factories import Shop
from tests.pages import errors, send, text

pytestmark = pytest.mark.one_engine

STEADY = PressureResult.STEADY
SEEING = LeakTestIn(15, STEADY, "52 psi", "52 psi", "84 °F", "83 °F")
BLIND = LeakTestIn(15, STEADY, "51 psi", "51 psi", "55 °F", "55 °F")


@pytest.fixture
def testing(bay: Bay, cans: list[Container]) -> Bay:
    """75 g, 15 % of the label, are in the empty system; the can stays on."""
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    bay.weigh(cans[0], "391", Moment.LEAK_TEST, stays_on=True)
    return bay


def hold(bay: Bay, test: LeakTestIn) -> LeakTest:
    return record_leak_test(bay.job, test, at=bay.later(17), by=bay.by)


def finish(bay: Bay, cans: list[Container]) -> Closing:
    bay.weigh(cans[0], "128", emptied=True)
    bay.draw(cans[1], "464", "296", seen=("overcharge",))
    bay.keep_charge()
    bay.finals()
    return bay.close()


def paper_of(closing: Closing) -> tuple[CertificateFacts, str]:
    document = Certificate.objects.get(closing=closing).document
    return rebuild(CertificateFacts, document.facts), document.facts


def address(bay: Bay) -> str:
    return f"/bay/{bay.job.number}/leak-test/"


def typed(**more: str) -> dict[str, Any]:
    return {
        "pressure_start": "52",
        "pressure_start_unit": "psi",
        "temperature": "84",
        "temperature_unit": "°F",
        "pressure_end": "52",
        "pressure_end_unit": "psi",
        "temperature_end": "83",
        "temperature_end_unit": "°F",
        "minutes": "15",
        "result": STEADY.value,
    } | more


def test_the_page_says_nothing_of_a_hold_before_something_was_read(testing: Bay, dev: Client) -> None:
    page = dev.get(address(testing))
    assert not page.context["answers"]
    assert "Do not vent to find or to fix a leak" in text(page)


def test_working_it_out_keeps_a_draft_and_answers_on_the_same_page(testing: Bay, dev: Client) -> None:
    begun = typed(pressure_end="", temperature_end="", minutes="", clock="answer")
    page = dev.post(address(testing), begun, follow=True)
    said = text(page)
    assert page.redirect_chain[-1][0] == address(testing) + "?show=answer"
    assert '<details class="worked" open>' in page.content.decode()  # asked for, so shown whole
    assert "It can see: a loss of" in said
    assert "Over 15 min that is a leak of about" in said  # the shop's rule, as long as no minutes are known
    assert not LeakTest.objects.exists()


def test_a_unit_typed_with_the_number_stands_in_the_draft_too(testing: Bay, dev: Client) -> None:
    begun = typed(pressure_start="3.6 bar", pressure_end="", temperature_end="", clock="answer")
    said = text(dev.post(address(testing), begun, follow=True))
    assert "It can see: a loss of" in said  # 3.6 bar are 52.2 psi


def test_the_written_hold_is_answered_with_its_grams_from_the_can(testing: Bay, dev: Client) -> None:
    send(dev, address(testing), **typed())
    assert LeakTest.objects.get().temperature_end == "83 °F"
    said = text(dev.get(address(testing)))
    assert "No change larger than" in said
    assert "this rules out leaks above about" in said
    assert "no leak" not in said.replace("no leak seen", "")
    # 52 psig at 84 °F is 20.64 kg/m³ (R-134a): 75 g fill 3.6 L
    assert "3.6 L, give or take" in said


def test_a_cold_bay_is_told_that_the_hold_is_blind(testing: Bay, dev: Client) -> None:
    hold(testing, BLIND)
    said = text(dev.get(address(testing)))
    assert "Blind: at 55 °F (13 °C) some of it may be liquid" in said
    assert (
        "with 2.5 L inside the gauge sees above 75 °F (24 °C), with 1.5 L not even at 104 °F (40 °C)" in said
    )


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("pressure_start", "-20", "less than nothing"),
        ("pressure_end", "900", "No system at rest reaches 900 psi"),
        ("pressure_start", "29 inHg", "a reading of vacuum"),
        ("pressure_end", "66.7 psia", "counts from zero"),
        ("temperature", "300", "no temperature of a bay"),
        ("temperature_end", "84 °C", "no temperature of a bay"),
        ("barometer", "20.1 inHg", "does not fit the shop's height"),
        ("barometer", "high", "Type what the barometer shows with its unit"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_on_its_field(
    field: str, value: str, sentence: str, testing: Bay, dev: Client
) -> None:
    page = send(dev, address(testing), **typed(**{field: value}))
    assert [sentence in error for error in errors(page, field)] == [True]
    assert not LeakTest.objects.exists()


def test_the_barometer_moves_what_the_gauge_counts_from(testing: Bay) -> None:
    hold(testing, replace(SEEING, barometer="29.0 inHg"))
    answer = leak_test_answer(job_sheet(testing.job), None)
    assert answer is not None
    assert "air: barometer 29.0 inHg" in answer.basis


def test_words_instead_of_readings_are_kept_and_say_less(testing: Bay, dev: Client) -> None:
    send(dev, address(testing), **typed(pressure_start="nearly half", temperature="warm"))
    assert LeakTest.objects.get().pressure_start == "nearly half"
    assert "Not known. Type the pressure at the start" in text(dev.get(address(testing)))


def test_a_hold_without_a_weighed_can_is_still_refused(bay: Bay) -> None:
    bay.up_to_charge()
    with pytest.raises(Refused, match="Weigh the can after the leak-test charge first"):
        hold(bay, SEEING)


def test_a_system_that_was_not_emptied_first_holds_more_than_the_can_gave(
    bay: Bay, cans: list[Container]
) -> None:
    bay.weigh(cans[0], "466", Moment.BEFORE, seen=("not-emptied",))
    bay.weigh(cans[0], "391", Moment.LEAK_TEST, stays_on=True)
    hold(bay, SEEING)
    answer = leak_test_answer(job_sheet(bay.job), None)
    assert answer is not None
    assert "The system was not emptied first" in answer.headline


def test_the_certificate_says_what_the_hold_could_see(testing: Bay, cans: list[Container]) -> None:
    hold(testing, SEEING)
    facts, _ = paper_of(finish(testing, cans))
    assert facts.leak_test is not None
    assert facts.leak_test.saw is not None
    assert facts.leak_test.saw.sight == "seeing"
    assert facts.leak_test.saw.equations.startswith("Tarebook properties")
    assert facts.leak_checks[-1].detector_scale == "4"


def test_the_certificate_of_a_blind_hold_says_that_it_saw_nothing(
    testing: Bay, cans: list[Container]
) -> None:
    hold(testing, BLIND)
    facts, _ = paper_of(finish(testing, cans))
    assert facts.leak_test is not None
    assert facts.leak_test.saw is not None
    assert (facts.leak_test.saw.sight, facts.leak_test.saw.limit) == ("blind", "")


ASKED = {
    "refrigerant": "R-134a",
    "put_in": "75",
    "put_in_unit": "g",
    "pressure_start": "52",
    "temperature": "84",
}


@pytest.mark.parametrize(
    "wrong",
    [
        dict.fromkeys(ASKED, ""),
        {"refrigerant": "R-22"},
        {"put_in": "-1"},
        {"put_in_unit": "stone"},
        {"pressure_start": "x" * 5000},
        {"temperature": "\u202e\x00"},
        {"volume": "NaN"},
        {"volume": "1e9"},
        {"minutes": "0"},
        {"minutes": "9" * 30},
    ],
)
def test_the_sum_says_what_is_wrong_whatever_is_typed(wrong: dict[str, str], shop: Shop, dev: Client) -> None:
    assert dev.get("/sums/leak-test/", ASKED).context["answer"] is not None
    page = dev.get("/sums/leak-test/", ASKED | wrong)
    assert page.status_code == 200
    assert page.context["answer"] is None
    assert page.context["form"].errors


def test_the_sum_works_without_a_job_and_warns_of_fire(shop: Shop, dev: Client) -> None:
    query = {
        "refrigerant": "R-1234yf",
        "put_in": "85",
        "put_in_unit": "g",
        "pressure_start": "78.2",
        "pressure_start_unit": "psi",
        "temperature": "30",
        "temperature_unit": "°C",
        "pressure_end": "76.5",
        "pressure_end_unit": "psi",
        "temperature_end": "26",
        "temperature_end_unit": "°C",
    }
    said = text(dev.get("/sums/leak-test/", query))
    assert "No change larger than 2.1 g; small leaks would not show." in said
    assert "Expected at 79 °F (26 °C) 76.4 psi" in said
    assert "FLAMMABLE." in said
    assert "FLAMMABLE." not in text(dev.get("/sums/leak-test/", query | {"refrigerant": "R-134a"}))


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("pressure_start", "-20", "less than nothing"),
        ("temperature", "84 °C", "no temperature of a bay"),
        ("put_in", "3", "Type a leak-test charge from 20 to 1,500 g."),
        ("barometer", "20.1 inHg", "does not fit the shop's height"),
    ],
)
def test_the_sum_refuses_on_the_field(field: str, value: str, sentence: str, shop: Shop, dev: Client) -> None:
    page = dev.get("/sums/leak-test/", ASKED | {field: value})
    assert [sentence in error for error in errors(page, field)] == [True]
