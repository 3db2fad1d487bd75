"""The inspection binder: ready or not, and one PDF that can be followed from a total to its parts.

What its first part holds is 40 CFR 82.42(a)(1) and (b)(1) to (b)(3), as the federal rules of the repository cite them;
PDF 1.4 reference, 8.2 and 8.4.5, says what bookmarks and links are.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from io import BytesIO
from typing import Any

import pytest
from django.test import Client
from pypdf import PdfReader

from compliance.core.binder import FEDERAL_PART, OWN_PART
from compliance.core.binder_check import CheckLine, State
from compliance.core.stages import LeakResult
from compliance.models import Closing, Document
from compliance.queries.binder_check import binder_check
from compliance.queries.papers import as_paper
from compliance.queries.whole_book import whole_book_findings
from compliance.services import Change, LeakCheckIn, correct_job, issue_binder, record_leak_check
from inventory.core.weighing import Origin
from inventory.models import Container, CountLine
from inventory.services import CountedIn, CountIn, InvoiceIn, add_invoice, record_count
from shop.core.findings import Refused
from shop.core.period import Period
from shop.models import Equipment
from shop.services import EquipmentIn, add_equipment
from tests.compliance.office import leave, photograph_card, sign, whole_paper_trail
from tests.compliance.work import Bay, Moment
from tests.factories import DAY, NOON, Shop
from tests.pages import errors, send, text

pytestmark = pytest.mark.one_engine

RANGE = Period(DAY - timedelta(days=30), DAY)
DAYS = {"first": RANGE.first.isoformat(), "last": RANGE.last.isoformat()}


@pytest.fixture
def closed(bay: Bay, cans: list[Container]) -> Closing:
    return bay.straight(cans[0], cans[1])


def line(shop: Shop, key: str, period: Period = RANGE) -> CheckLine:
    found = binder_check(shop.establishment, period, today=DAY)
    return next(one for one in found if one.key == key)


def kept(shop: Shop, why: str = "visit of March 4") -> Document:
    return issue_binder(shop.establishment, RANGE, why=why, today=DAY, at=NOON, by=shop.marta)


def reader(document: Document) -> PdfReader:
    return PdfReader(BytesIO(bytes(document.pdf)))


def words(pdf: PdfReader) -> str:
    read = " ".join(page.extract_text() for page in pdf.pages)
    return re.sub(r"\s+", " ", read.replace("\u00a0", " "))


# --- Check it


def test_it_has_twelve_lines(shop: Shop) -> None:
    assert len(binder_check(shop.establishment, RANGE, today=DAY)) == 12


def test_a_machine_without_a_statement_is_missing(shop: Shop) -> None:
    assert line(shop, "statements").state is State.MISSING
    assert "RE-1" in line(shop, "statements").sentence


def test_a_statement_that_was_not_sent_is_missing_still(shop: Shop) -> None:
    sign(shop)

    assert line(shop, "statements").sentence.startswith("Signed and not sent: RE-1")
    assert line(shop, "statements").state is State.MISSING


def test_a_machine_that_came_after_the_statement_was_sent_is_looked_at(shop: Shop) -> None:
    """40 CFR 82.42(a) asks the shop for one statement; 42 USC 7671h(d) names each unit's serial number."""
    whole_paper_trail(shop)
    new = EquipmentIn("RE-3", Equipment.Kind.MACHINE, DAY, does=Equipment.Does.RECOVER, refrigerants="R-134a")
    add_equipment(new, shop.establishment, today=DAY, at=NOON, by=shop.marta)

    found = line(shop, "statements")
    assert (found.state, found.sentence) == (State.LOOK, "No statement is on file for RE-3.")


def test_a_statement_sent_with_its_proof_is_ready(shop: Shop) -> None:
    whole_paper_trail(shop)

    assert line(shop, "statements").state is State.READY


def test_a_doer_without_a_copy_of_the_card_is_missing_by_name(shop: Shop, closed: Closing) -> None:
    assert line(shop, "people").state is State.MISSING
    assert shop.dev.name in line(shop, "people").sentence


def test_a_doer_whose_card_was_photographed_is_ready(shop: Shop, closed: Closing) -> None:
    photograph_card(shop, shop.dev)

    assert line(shop, "people").state is State.READY


def test_a_delivery_without_an_invoice_is_looked_at_until_it_has_one(
    shop: Shop, cans: list[Container]
) -> None:
    before = line(shop, "purchases")
    bill = InvoiceIn("550917", DAY, 64218)
    add_invoice(cans[0].delivered.line.delivery, bill, today=DAY, at=NOON, by=shop.lee)

    assert (before.state, "D24-0001" in before.sentence) == (State.LOOK, True)
    assert line(shop, "purchases").state is State.READY


def test_a_weight_from_the_label_is_looked_at(shop: Shop, bay: Bay, cans: list[Container]) -> None:
    bay.up_to_charge()
    before = line(shop, "weighings").state
    bay.weigh(cans[0], "466", Moment.BEFORE, origin=Origin.LABEL)

    assert (before, line(shop, "weighings").state) == (State.READY, State.LOOK)


def test_an_open_job_is_looked_at_from_its_next_day_on(shop: Shop, bay: Bay) -> None:
    tomorrow = binder_check(shop.establishment, RANGE, today=DAY + timedelta(days=1))

    assert line(shop, "jobs").state is State.READY
    assert next(one for one in tomorrow if one.key == "jobs").state is State.LOOK


def test_how_long_ago_the_last_count_was_is_said_in_good_english(
    shop: Shop, closed: Closing, cans: list[Container]
) -> None:
    counted = [CountedIn(can, CountLine.How.SEALED) for can in cans[2:]]
    record_count(CountIn(DAY, counted), shop.establishment, at=NOON + timedelta(hours=3), by=shop.marta)
    for days, said in (
        (0, "is of the last"),
        (1, "is 1 day before the last"),
        (2, "is 2 days before the last"),
    ):
        last = DAY + timedelta(days=days)
        found = binder_check(shop.establishment, Period(DAY, last), today=last)
        (counts,) = [one for one in found if one.key == "counts"]
        assert counts.sentence == f"The last count {said} of these days."


def test_what_lies_outside_the_days_is_not_asked_about(shop: Shop, closed: Closing) -> None:
    earlier = Period(date(2023, 1, 1), date(2023, 1, 31))

    assert line(shop, "jobs", earlier).figure == "0"
    assert line(shop, "people", earlier).state is State.READY


def test_the_page_has_a_fix_beside_what_is_not_ready(marta: Client, shop: Shop) -> None:
    page = marta.get("/binder/", DAYS)

    assert "No statement is on file for RE-1" in text(page)
    assert 'href="/statements/"' in page.content.decode()


def test_days_that_run_backwards_are_said_and_the_page_stays(marta: Client) -> None:
    page = marta.get("/binder/", {"first": "2024-03-04", "last": "2024-03-01"})

    assert "The last day is before the first." in text(page)


# --- The PDF


def test_the_contents_name_the_pages_where_the_tabs_begin(shop: Shop, closed: Closing) -> None:
    pdf = reader(kept(shop))
    begins = {
        name.lstrip("/"): pdf.get_destination_page_number(place)
        for name, place in pdf.named_destinations.items()
    }
    clicks = [
        (page, annotation.get_object())
        for page in range(len(pdf.pages))
        for annotation in pdf.pages[page].get("/Annots", [])
    ]
    leads = [one["/Dest"].lstrip("/") for _, one in clicks if "/Dest" in one]
    contents = next(page for page, one in clicks if "/Dest" in one)
    printed = re.findall(
        r"^\d+ .* (\d+)$", pdf.pages[contents].extract_text().replace("\u00a0", " "), re.MULTILINE
    )

    assert sorted(leads) == sorted(begins)
    assert [int(number) - 1 for number in printed] == [begins[key] for key in leads]


def test_work_without_a_card_stands_on_a_line_of_its_own_and_the_figure_adds_up(
    bay: Bay, cans: list[Container], shop: Shop
) -> None:
    """Four refrigerant stages; the leak check was done by a helper, so Dev's line has three."""
    bay.recover()
    check = LeakCheckIn(("eyes",), ("hoses",), LeakResult.NONE_SEEN, "", "")
    record_leak_check(bay.job, check, uncertified="Bob Sample", at=bay.later(), by=bay.by)
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals()
    bay.by = shop.marta  # only the owner closes such a job
    bay.close()
    said = words(reader(kept(shop)))
    assert "3 of 4 stages covered" in said
    assert "Dev Larkin 1 J24-0001 J24-0001 3 3 all on or after issue date" in said
    assert "Somebody without a 609 card – – 1 0 named on the certificates" in said


def test_every_tab_has_a_bookmark_under_its_part(shop: Shop, closed: Closing) -> None:
    parts: list[Any] = reader(kept(shop)).outline

    assert [one.title for one in parts[::2]] == [str(FEDERAL_PART), str(OWN_PART)]
    assert [one.title for one in parts[1]] == [
        "1 Equipment statements",
        "2 Where refrigerant was sent",
        "3 Technicians certified",
        "4 Sales of small containers",
    ]
    assert "9 Weights not read from a scale" in [one.title for one in parts[3]]


def test_every_page_says_its_tab_its_number_and_how_many_there_are(shop: Shop, closed: Closing) -> None:
    pdf = reader(kept(shop))
    pages = [page.extract_text().replace("\u00a0", " ") for page in pdf.pages]
    first = pdf.get_destination_page_number(pdf.named_destinations["/statements"])

    assert all(f"page {number} of {len(pages)}" in page for number, page in enumerate(pages, 1))
    assert all(re.search(r"INSPECTION BINDER · \d+ \w", page) for page in pages[first:])


def test_when_nothing_left_the_shop_it_says_where_it_is(shop: Shop, closed: Closing) -> None:
    said = words(reader(kept(shop)))

    assert "No refrigerant left this shop for a facility in these days." in said
    assert "RC-02 (R-134a, 210 g)" in said  # 7,966 g less 7,756 g, the one recovery of the day


def test_no_price_no_customer_and_no_phone_of_theirs_is_in_it(
    shop: Shop, closed: Closing, cans: list[Container]
) -> None:
    bill = InvoiceIn("550917", DAY, 64218)
    add_invoice(cans[0].delivered.line.delivery, bill, today=DAY, at=NOON, by=shop.lee)
    change = Change("check-in-1-customer", "Ines Calloway", "Inez Calloway")
    correct_job(closed.job, [change], why="misspelt", on=DAY, at=NOON, by=shop.marta)
    document = kept(shop)
    said = words(reader(document)) + document.facts

    assert "550917" in said
    assert "misspelt" in said
    assert not re.search(r"642\.18|64218|\$|Calloway", said)


def test_what_is_missing_is_said_on_the_cover(shop: Shop, closed: Closing) -> None:
    said = words(reader(kept(shop)))

    assert "Missing: Equipment statements. No statement is on file for RE-1" in said


def test_somebody_who_left_stays_in_it(shop: Shop, closed: Closing) -> None:
    leave(shop, shop.dev)

    assert shop.dev.name in words(reader(kept(shop)))


def test_a_binder_that_is_looked_at_writes_nothing_and_says_so(marta: Client, closed: Closing) -> None:
    answer = marta.get("/binder/pdf/", DAYS)

    assert answer["Content-Type"] == "application/pdf"
    assert "Looked at only, not kept" in words(PdfReader(BytesIO(answer.content)))
    assert not Document.objects.filter(kind=Document.Kind.BINDER).exists()


def test_a_binder_that_is_kept_draws_the_same_again_and_the_book_is_whole(
    shop: Shop, closed: Closing
) -> None:
    document = kept(shop)

    assert as_paper(document).blocks
    assert whole_book_findings() == []


def test_it_is_not_kept_without_a_word_what_for(shop: Shop) -> None:
    with pytest.raises(Refused, match="Say what the binder is printed for"):
        kept(shop, " ")


def test_a_day_to_come_is_refused_beside_its_field(marta: Client) -> None:
    page = send(marta, "/binder/keep/", first="2024-03-01", last="2999-12-31", why="a visit")

    assert errors(page, "last") == ["The last day has not come yet. Choose a day up to today."]
