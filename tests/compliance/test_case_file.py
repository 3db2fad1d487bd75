"""The case file: everything of one job on one paper, and what is missing said as missing."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
from django.test import Client
from pypdf import PdfReader

from compliance.core.case_file import case_file, worst_case
from compliance.core.case_file_facts import CaseFileFacts
from compliance.core.reconcile import CanWeights, ChargeFacts, Losses, reconcile
from compliance.core.stages import StageKind
from compliance.models import Closing, Document
from compliance.queries.whole_book import whole_book_findings
from compliance.services import Change, correct_job, issue_case_file, place_hold
from inventory.core.weighing import CanKind, Style, Ticket
from inventory.models import Container
from shop.core.canonical import rebuild
from shop.core.findings import Refused
from shop.core.mass import ZERO, Mass, Reading, Unit, grams
from tests.compliance.work import Bay
from tests.pages import send, text

pytestmark = pytest.mark.one_engine

INSURER = "the insurer writes that it was overcharged"


@pytest.fixture
def closed(bay: Bay, cans: list[Container]) -> Closing:
    bay.photograph(caption="label, driver's side")
    return bay.straight(cans[0], cans[1])


def made(bay: Bay, closing: Closing, why: str = INSURER) -> Document:
    moment = bay.later()
    return issue_case_file(closing.job, why=why, on=moment.date(), at=moment, by=bay.shop.lee)


def words(document: Document) -> str:
    pages = PdfReader(BytesIO(bytes(document.pdf))).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


def facts_of(document: Document) -> CaseFileFacts:
    return rebuild(CaseFileFacts, document.facts)


def test_a_repair_that_was_not_needed_is_said_as_it_was_left(bay: Bay, cans: list[Container]) -> None:
    bay.recover()
    bay.leak_check()
    bay.leave_out(StageKind.REPAIR, "no leak seen")
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals()
    said = words(made(bay, bay.close()))
    assert "Not needed: no leak seen." in said
    assert "None written down" not in said


def test_it_prints_the_worst_case_against_the_label(bay: Bay, closed: Closing) -> None:
    # four readings half a gram off = 2 g, hoses 2 g, scale gain 0.1 percent of 509 g = 0.5 g
    assert (
        "503 g, give or take 4.5 g at the worst, against 500 g ± 20 g."
        " Even at the worst it is inside the tolerance."
    ) in words(made(bay, closed)).replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("division", "unit", "cans", "worst"),
    # GUM (JCGM 100:2008) F.2.2.1: a reading is off by half a division at most; two readings for each can
    [("1", Unit.G, 3, 3.0), ("0.05", Unit.OZ, 3, 4.3), ("0.1", Unit.OZ, 3, 8.5), ("5", Unit.G, 3, 15.0)],
)
def test_the_worst_case_of_the_readings_alone(division: str, unit: Unit, cans: int, worst: float) -> None:
    step, kind = Mass.of(division, unit), CanKind(grams(340), grams(126), 4.0)

    def ticket(weighs: Mass) -> Ticket:
        return Ticket(Reading("", Unit.G, weighs), step, Style.BARE)

    each = CanWeights(
        "K", "", "R-134a", kind, grams(340), False, (ticket(grams(466)), ticket(grams(300))), None, False
    )
    none = Losses(ZERO, 0.0, ZERO, 0.0, ZERO, ZERO, 0.0)
    facts = ChargeFacts("R-134a", (each,) * cans, none, None, None, None, gain_half_width=0.0)
    assert round(reconcile(facts).worst_g, 1) == worst


def test_it_holds_everything_that_was_written_of_the_job(bay: Bay, closed: Closing) -> None:
    place_hold(closed.job, why=INSURER, at=bay.later(), by=bay.shop.lee)
    printed = words(made(bay, closed)).replace("\u00a0", " ")
    for said in (
        INSURER,
        "K-0001 before 466 g SC-1",
        "RC-02 after 7966 g SC-1",
        "D24-0001",
        "88412",
        "SAMPLE-7741",
        "RE-1",
        "label, driver's side",
        "This vehicle was not here before",
        "after the job missing no check on file",
    ):
        assert said in printed, said
    assert whole_book_findings() == []


def test_what_is_missing_is_said_and_nothing_is_made_up(bay: Bay, closed: Closing) -> None:
    assert ("The VIN, the odometer, a photo of the scale and a check of SC-1 after the job.") in words(
        made(bay, closed)
    )


def test_it_carries_its_photos_small_inside_the_pdf(bay: Bay, closed: Closing) -> None:
    document = made(bay, closed)
    assert b"OutputIntent" in bytes(document.pdf)
    reader = PdfReader(BytesIO(bytes(document.pdf)))
    assert sum(len(page.images) for page in reader.pages) == 1
    assert len(bytes(document.pdf)) < 200_000
    assert facts_of(document).photos[0].sha256 == closed.job.photos.get().sha256


def test_corrections_and_earlier_visits_are_in_it(bay: Bay, closed: Closing, cans: list[Container]) -> None:
    moment = bay.later()
    change = Change("check-in-1-odometer", "", "118402")
    correct_job(closed.job, [change], why="left out", on=moment.date(), at=moment, by=bay.shop.marta)
    again = Bay.check_in(bay.shop, at=bay.later(), customer="Otis Vale")
    again.recover("7966", "8460")
    again.leak_check()
    again.evacuate()
    again.draw(cans[2], "466", "128", emptied=True)
    again.draw(cans[3], "464", "293")
    again.keep_charge()
    again.finals()
    second = again.close()
    first_file, second_file = words(made(bay, closed)), words(made(again, second))
    assert "CS24-0001 Check-in: Odometer not recorded 118402 left out" in first_file
    assert "J24-0001 R-134a 503" in second_file.replace("\u00a0", " ")
    assert "Calloway" not in second_file  # the car was hers then; it is another customer's file


def test_the_page_says_what_the_pdf_says(bay: Bay, closed: Closing, lee: Client) -> None:
    answer = send(lee, "/case-file/J24-0001/", why=INSURER)
    page = text(lee.get(answer.url)).replace("\u00a0", " ")
    assert "503 g, give or take 4.5 g at the worst, against 500 g ± 20 g." in page
    assert f"/bay/J24-0001/photos/{closed.job.photos.get().pk}/" in lee.get(answer.url).content.decode()


def test_an_open_job_has_no_case_file(bay: Bay) -> None:
    with pytest.raises(Refused, match="Close it first"):
        issue_case_file(bay.job, why=INSURER, on=bay.clock.date(), at=bay.clock, by=bay.shop.lee)


def test_at_the_worst_outside_is_said(bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "278")  # 338 + 186 - 6 = 518 in 500 ± 20
    bay.keep_charge()
    bay.finals()
    facts = facts_of(made(bay, bay.close()))
    assert "At the worst it could be outside the tolerance." in worst_case(facts.certificate)
    assert case_file(facts).number == "CF24-0001"
