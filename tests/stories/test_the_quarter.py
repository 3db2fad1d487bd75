"""A quarter through the pages, and its usage report against a sheet that was worked out by hand."""

from __future__ import annotations

import re
from datetime import timedelta
from decimal import Decimal
from io import BytesIO
from math import prod

import pytest
from pypdf import PdfReader
from pytest_django import Settings

from compliance.core.usage_report_facts import UsageReportFacts
from compliance.models import Document
from compliance.queries.whole_book import whole_book_findings
from shop.core.canonical import rebuild
from tests.conftest import SignOn
from tests.factories import Shop
from tests.stories.quarter import Quarter, rows_of

pytestmark = pytest.mark.one_engine


def test_a_quarter_lived_through_the_pages_adds_up_to_the_sheet(
    shop: Shop, sign_on: SignOn, settings: Settings
) -> None:
    """One test, since a quarter takes its time: the hunt, the book, the report, its paper, 29 certificates."""
    quarter = Quarter.begin(shop, sign_on)
    settings.PRACTICE_OFFSET = timedelta()  # taken back after the test, whatever the quarter sets
    quarter.live()

    the_hunt_names_the_can_on_its_way_first(quarter)
    assert whole_book_findings() == []
    document = Document.objects.get(number=quarter.report)
    facts = rebuild(UsageReportFacts, document.facts)
    the_signed_report_says_what_the_sheet_says(facts)
    the_paper_prints_the_sheets_figures(document)
    each_vehicle_has_its_certificate_and_its_grams(facts)


def the_hunt_names_the_can_on_its_way_first(quarter: Quarter) -> None:
    """A can of 340 g of which nobody said that it arrived, when the count misses 339 g."""
    first = quarter.hunted.partition("How sure Do this")[2][:100]
    assert "K-0048" in first, quarter.hunted
    assert "340" in first


def worked(working: str) -> Decimal:
    """A sum of products, as it stands in the sheet: ``35 * 340 + 12 * 340 - 2``."""
    terms = re.findall(r"(?:^|([+-]) )([\d.]+(?: \* [\d.]+)*)", working)
    total = Decimal()
    for sign, product in terms:
        total += prod(map(Decimal, product.split(" * ")), start=Decimal(-1 if sign == "-" else 1))
    return total


def test_the_sheet_adds_up() -> None:
    for row in rows_of("quarter_sheet.csv"):
        assert worked(row["working"]) == Decimal(row["grams"]), row


# The report's fact for each line of the sheet.
CANS = {
    "opening": "opening_ug",
    "received": "received_ug",
    "refused later": "damaged_ug",
    "fill": "fill_ug",
    "vehicles": "vehicles_ug",
    "hoses": "hoses_ug",
    "recovered back": "recovered_back_ug",
    "heels": "heels_ug",
    "released": "released_ug",
    "returned": "returned_ug",
    "expected": "expected_ug",
    "counted": "counted_ug",
    "difference": "difference_ug",
}
CYLINDERS = {
    "vehicles": "vehicles_ug",
    "recovered back": "recovered_back_ug",
    "heels": "heels_ug",
    "shipped": "shipped_ug",
    "expected": "expected_ug",
    "weighed": "weighed_ug",
    "difference": "difference_ug",
}


def the_signed_report_says_what_the_sheet_says(facts: UsageReportFacts) -> None:
    said = {
        (one.refrigerant, "cans", line): getattr(one, fact)
        for one in facts.new
        for line, fact in CANS.items()
    }
    said |= {
        (one.refrigerant, "cylinders", line): getattr(one, fact)
        for one in facts.recovered
        for line, fact in CYLINDERS.items()
    }
    sheet = {
        (row["refrigerant"], row["in"], row["line"]): int(Decimal(row["grams"]) * 1_000_000)
        for row in rows_of("quarter_sheet.csv")
    }
    assert {line: ug for line, ug in said.items() if ug or line in sheet} == sheet


def the_paper_prints_the_sheets_figures(document: Document) -> None:
    printed = " ".join(page.extract_text() for page in PdfReader(BytesIO(bytes(document.pdf))).pages)
    for row in rows_of("quarter_sheet.csv"):
        if row["in"] == "cans":
            assert f"{abs(Decimal(row['grams'])):,.1f}" in printed, row


def each_vehicle_has_its_certificate_and_its_grams(facts: UsageReportFacts) -> None:
    charged = {row["plate"]: row["charged_g"] for row in rows_of("quarter_jobs.csv")}
    assert len(facts.jobs) == len({job.certificate for job in facts.jobs}) == len(charged) == 29
    for job in facts.jobs:
        (grams,) = [said for plate, said in charged.items() if plate in job.vehicle]
        assert job.charged_ug == (int(grams) * 1_000_000 if grams else None), job
