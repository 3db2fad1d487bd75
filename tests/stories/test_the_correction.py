"""The correction after a signed month, through the pages to the words of the PDF."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from io import BytesIO

import pytest
from django.test import Client
from pypdf import PdfReader

from compliance.core.usage_report import usage_report
from compliance.models import Correction, Document
from compliance.queries.whole_book import whole_book_findings
from compliance.services import draft_usage_report, issue_usage_report
from inventory.models import Container, CountLine
from inventory.services import CountedIn, CountIn, record_count
from shop.core.period import Period
from tests.compliance.work import Bay
from tests.factories import Shop, cans_of, receive, ticket_in
from tests.pages import send, text

pytestmark = pytest.mark.one_engine

APRIL = Period(date(2024, 4, 1), date(2024, 4, 30))
LATER = datetime(2024, 5, 6, 18, 0, tzinfo=UTC)


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


@pytest.fixture
def signed(shop: Shop, cans: list[Container]) -> Document:
    """April: the sample job (503 g), the cabinet counted on the 30th with K-0002 at 290 g, the report signed."""
    Bay.check_in(shop).straight(cans[0], cans[1])
    counted = [
        CountedIn(cans[0], CountLine.How.WEIGHED, ticket_in(shop, "128")),
        CountedIn(cans[1], CountLine.How.WEIGHED, ticket_in(shop, "290")),
        *(CountedIn(can, CountLine.How.SEALED) for can in cans[2:]),
        CountedIn(shop.rc02, CountLine.How.WEIGHED, ticket_in(shop, "7966")),
    ]
    at = datetime(2024, 4, 30, 22, 30, tzinfo=UTC)
    record_count(CountIn(APRIL.last, counted), shop.establishment, at=at, by=shop.marta)
    return issue_usage_report(shop.establishment, APRIL, today=LATER.date(), at=LATER, by=shop.marta)


def words(client: Client, number: str, version: int) -> str:
    answer = client.get(f"/papers/{number}/{version}/pdf/")
    reader = PdfReader(BytesIO(answer.content))
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages))


def look_and_sign(marta: Client, address: str, **typed: str) -> str:
    """Look first, then sign what was shown; the address of the slip."""
    page = marta.get(address).content.decode()
    olds = dict(re.findall(r'name="(old-[^"]+)" value="([^"]*)"', page))
    looked = send(marta, address, **olds, **typed)
    assert "What the slip will do" in text(looked)
    seen = re.search(r'name="seen" value="([^"]+)"', looked.content.decode())
    assert seen is not None
    answer = send(marta, address, **olds, **typed, seen=seen[1])
    assert answer.status_code == 302
    return str(answer.url)


def test_the_correction_after_a_signed_month(shop: Shop, signed: Document, marta: Client) -> None:
    job = marta.get("/bay/J24-0001/")
    assert "Something is wrong on this paper" in text(job)
    choose = marta.get("/corrections/job/J24-0001/").content.decode()
    key = re.search(r'value="(ticket-\d+)"> <span>K-0002 after', choose)
    assert key is not None
    address = f"/corrections/job/J24-0001/?what={key[1]}"
    first = send(
        marta, address, **{key[1]: "290", f"{key[1]}_unit": "g", f"old-{key[1]}": "293 g"}, why="misread"
    )
    assert "Into the vehicle, corrected 506 g" in text(first)
    assert f"{signed.number} stays as signed" in text(first)
    assert not Correction.objects.exists()

    slip = marta.get(
        look_and_sign(marta, address, **{key[1]: "290", f"{key[1]}_unit": "g"}, why="misread the display")
    )
    assert f"{signed.number} tells of this job and stays as signed" in text(slip)
    assert "Replaced" in text(Client().get("/check/C24-0001/1/"))
    certificate = words(marta, "C24-0001", 2)
    assert "We put 506 grams (17.8 oz) of R-134a into your car" in certificate
    assert re.search(
        r"K-0002 after 293 g → 290 g\. Misread the display\. Slip CS\d\d-0001, Marta Quill", certificate
    )

    assert Document.objects.get(pk=signed.pk).facts == signed.facts
    reissued = send(marta, f"/papers/{signed.number}/1/reissue/", why="K-0002 was misread")
    assert reissued.status_code == 302
    again = words(marta, signed.number, 2)
    assert "J24-0001: in 503 g → 506 g; C24-0001 → C24-0001 version 2." in again
    assert "Jobs of this period were corrected later." in again
    assert "▲ Look" not in again
    assert whole_book_findings() == []


def test_the_open_period_shows_the_correction_as_its_own_line_and_adds_up(
    shop: Shop, signed: Document, marta: Client
) -> None:
    choose = marta.get("/corrections/job/J24-0001/").content.decode()
    key = re.search(r'value="(ticket-\d+)"> <span>K-0002 after', choose)
    assert key is not None
    typed = {key[1]: "290", f"{key[1]}_unit": "g"}
    look_and_sign(marta, f"/corrections/job/J24-0001/?what={key[1]}", **typed, why="misread the display")
    moved = Correction.objects.get().entry
    assert moved is not None
    period = Period(date(2024, 5, 1), moved.on)
    facts = draft_usage_report(shop.establishment, period, today=moved.on, at=LATER, by=shop.marta)
    (new,) = facts.new
    assert (new.vehicles_ug, new.fill_cans, new.released_events) == (3_000_000, 0, 0)
    # had 3568 by the count, less 3 more into the vehicle of April; the 3 that the count missed are found again
    assert new.expected_ug == new.opening_ug - 3_000_000
    (line,) = facts.corrections
    assert (line.job, line.charged_ug, line.here) == ("J24-0001", 3_000_000, 1)
    paper = str(usage_report(facts))
    assert "of it by corrections" in paper
    assert "▲ Look" not in paper
    assert whole_book_findings() == []
