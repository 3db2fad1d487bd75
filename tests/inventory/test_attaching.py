"""Papers of a delivery: known by their content, handed out to be saved."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from compliance.queries.whole_book import whole_book_findings
from inventory.models import Attachment, Delivery
from inventory.services import attach_paper, merge_deliveries
from inventory.services.attaching import MOST, read_paper
from shop.core.findings import Refused
from shop.services.papers import MOST_BYTES
from tests.compliance.pictures import picture_of
from tests.factories import DAY, NOON, Shop, receive
from tests.pages import errors, send, text

PDF = b"%PDF-1.7\n1 0 obj\n<< /Type /Catalog >>\nendobj\ntrailer\n<< /Root 1 0 R >>\n%%EOF\n"


@pytest.fixture
def delivery(shop: Shop) -> Delivery:
    return receive(shop)


def test_a_pdf_is_kept_as_it_came(shop: Shop, delivery: Delivery) -> None:
    kept = attach_paper(delivery, read_paper(PDF), Attachment.What.INVOICE, at=NOON, by=shop.lee)

    assert (bytes(kept.content), kept.media, kept.size) == (PDF, "application/pdf", len(PDF))
    assert whole_book_findings() == []


def test_a_photo_is_drawn_anew() -> None:
    paper = read_paper(picture_of("slip 88412") + b"and something after it")

    assert paper.media == Attachment.Media.JPEG
    assert b"something after" not in paper.content


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        (b"MZ" + PDF, "neither a PDF nor a photo"),
        (b"<html>%PDF-1.7 %%EOF", "neither a PDF nor a photo"),
        (PDF[:60], "did not come in whole"),
        (PDF + b" " * 2000, "did not come in whole"),
        (PDF + b" " * MOST_BYTES, "larger than 10 MB"),
        (b"", "neither a PDF nor a photo"),
    ],
)
def test_what_is_no_paper_is_refused(sent: bytes, says: str) -> None:
    with pytest.raises(Refused, match=says):
        read_paper(sent)


def test_the_same_paper_is_kept_once(shop: Shop, delivery: Delivery) -> None:
    paper = read_paper(PDF)
    first = attach_paper(delivery, paper, Attachment.What.SLIP, at=NOON, by=shop.lee)

    assert attach_paper(delivery, paper, Attachment.What.SLIP, at=NOON, by=shop.marta) == first


def test_a_delivery_keeps_no_more_papers_than_a_backup_can_bear(shop: Shop, delivery: Delivery) -> None:
    for number in range(MOST):
        attach_paper(
            delivery,
            read_paper(PDF[:9] + b"%d" % number + PDF[9:]),
            Attachment.What.SLIP,
            at=NOON,
            by=shop.lee,
        )

    with pytest.raises(Refused, match="the most it keeps"):
        attach_paper(delivery, read_paper(PDF), Attachment.What.SLIP, at=NOON, by=shop.lee)


def test_a_paper_is_sent_and_handed_out_again(
    shop: Shop, lee: Client, dev: Client, delivery: Delivery
) -> None:
    url = reverse("deliveries:attach", args=[delivery.number])
    page = lee.get(
        send(lee, url, paper=SimpleUploadedFile("cv.exe", PDF, "text/html"), what="invoice")["Location"]
    )
    assert "Invoice, PDF" in text(page)

    address = reverse("deliveries:paper", args=[delivery.number, Attachment.objects.get().pk])
    got = lee.get(address)

    assert got.content == PDF
    assert got["Content-Type"] == "application/pdf"
    assert got["Content-Disposition"].startswith(f'attachment; filename="{delivery.number}-invoice-')
    assert got["X-Content-Type-Options"] == "nosniff"
    assert "sandbox" in got["Content-Security-Policy"]
    assert dev.get(address).status_code == 403


def test_what_is_wrong_with_a_file_stands_beside_it(shop: Shop, lee: Client, delivery: Delivery) -> None:
    url = reverse("deliveries:attach", args=[delivery.number])
    wrong = send(lee, url, paper=SimpleUploadedFile("slip.pdf", b"not a pdf", "application/pdf"), what="slip")

    assert "neither a PDF nor a photo" in errors(wrong, "paper")[0]
    assert errors(send(lee, url, what="slip"), "paper") == ["Choose a file first."]
    assert not Attachment.objects.exists()


def test_the_papers_of_a_delivery_that_was_in_twice_are_found_from_the_first(
    shop: Shop, lee: Client, delivery: Delivery
) -> None:
    again = receive(shop, slip="550917")
    kept = attach_paper(again, read_paper(PDF), Attachment.What.INVOICE, at=NOON, by=shop.lee)
    merge_deliveries(delivery, again, today=DAY, at=NOON, by=shop.lee)

    assert lee.get(reverse("deliveries:paper", args=[delivery.number, kept.pk])).content == PDF
