"""Earlier papers: the shop's own scans from before the book, by month."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from compliance.models import Job
from compliance.queries.whole_book import whole_book_findings
from compliance.sheets.whole import whole_shop
from inventory.models import EarlierPaper, EarlierSetAside, Movement
from inventory.services import keep_earlier_paper
from inventory.services.attaching import read_paper
from inventory.services.earlier import MOST_A_MONTH
from shop.core.findings import Refused
from tests.factories import DAY, NOON, Shop
from tests.pages import errors, said, send, text

PDF = b"%PDF-1.4\nclipboard, August\n%%EOF\n"
NEW = "/records/earlier/new/"


def scan(content: bytes = PDF) -> SimpleUploadedFile:
    return SimpleUploadedFile("Scan 12.bin", content, content_type="text/html")


def kept(shop: Shop, number: int = 0) -> EarlierPaper:
    paper = read_paper(PDF[:9] + b"%d" % number + PDF[9:])
    return keep_earlier_paper(
        paper, date(2023, 8, 15), "clipboard page", shop.establishment, today=DAY, at=NOON, by=shop.lee
    )


def test_a_scan_is_kept_under_its_month_and_makes_no_job(shop: Shop, lee: Client) -> None:
    answer = send(lee, NEW, month="2023-08", what="clipboard, first half", paper=scan())
    page = lee.get(answer["Location"])

    assert said(page) == ["On file under 2023-08."]
    assert "August 2023 clipboard, first half PDF" in text(page)
    assert EarlierPaper.objects.get().month == date(2023, 8, 1)
    assert not Job.objects.exists()
    assert not Movement.objects.exists()


def test_it_is_handed_out_as_it_came_and_never_opened_in_the_page(shop: Shop, lee: Client) -> None:
    send(lee, NEW, month="8/2023", what="clipboard", paper=scan())
    one = EarlierPaper.objects.get()
    answer = lee.get(f"/records/earlier/{one.pk}/")

    assert answer.content == PDF
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == f'attachment; filename="earlier-2023-08-{one.pk}.pdf"'
    assert "sandbox" in answer["Content-Security-Policy"]


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("month", {"month": ""}, "Pick the month."),
        ("month", {"month": "2023-13"}, "for example 2023-08"),
        ("month", {"month": "August"}, "for example 2023-08"),
        ("month", {"month": "2999-01"}, "That month has not come yet."),
        ("month", {"month": "1989-01"}, "Section 609 dates from November 1990"),
        ("what", {"what": " "}, "This field is required."),
        ("paper", {"paper": scan(b"just text")}, "neither a PDF nor a photo"),
        ("paper", {"paper": scan(b"%PDF-1.4 cut off")}, "did not come in whole"),
        ("paper", {"paper": scan(b"")}, "The file is empty."),
    ],
)
def test_what_is_wrong_stands_on_its_field(
    shop: Shop, lee: Client, field: str, changed: dict[str, Any], sentence: str
) -> None:
    form: dict[str, Any] = {"month": "2023-08", "what": "clipboard", "paper": scan(), **changed}
    answer = send(lee, NEW, **form)

    assert sentence in " ".join(errors(answer, field))
    assert not EarlierPaper.objects.exists()


def test_a_paper_set_aside_stays_with_its_reason(shop: Shop, lee: Client) -> None:
    one = kept(shop)
    assert errors(send(lee, f"/records/earlier/{one.pk}/aside/", why=""), "why")
    send(lee, f"/records/earlier/{one.pk}/aside/", why="belongs to the other shop")

    assert EarlierSetAside.objects.get().paper == one
    assert "Set aside belongs to the other shop" in text(lee.get("/records/earlier/"))
    assert lee.get(f"/records/earlier/{one.pk}/").status_code == 200
    again = send(lee, f"/records/earlier/{one.pk}/aside/", why="twice")
    assert errors(again, "why") == ["That paper is set aside already."]


def test_the_same_bytes_in_a_month_are_one_paper_and_a_month_is_full_some_day(shop: Shop) -> None:
    assert kept(shop) == kept(shop)
    for number in range(1, MOST_A_MONTH):
        kept(shop, number)
    with pytest.raises(Refused, match="That month has 40 papers"):
        kept(shop, MOST_A_MONTH)


def test_earlier_papers_leave_with_the_shop_and_are_looked_after(shop: Shop) -> None:
    one = kept(shop)
    files = {path: b"".join(pieces) for path, pieces in whole_shop(shop.establishment, NOON)}

    assert files[f"earlier/2023-08/{one.pk}.pdf"] == bytes(one.content)
    assert b"clipboard page" in files["lists/earlier-papers.csv"]
    assert whole_book_findings() == []


def test_a_technician_does_not_read_them(shop: Shop, dev: Client) -> None:
    assert dev.get("/records/earlier/").status_code == 403
    assert "Earlier papers" not in text(dev.get("/records/"))
