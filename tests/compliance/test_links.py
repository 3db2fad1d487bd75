"""A certificate by link: one job, until it is taken back, in words first, and nothing of anybody else."""

from __future__ import annotations

from io import BytesIO

import pytest
from django.test import Client
from pypdf import PdfReader

from compliance.models import CustomerLink, Document
from compliance.queries.papers import as_paper
from compliance.services import Change, correct_job, end_link, give_link, withdraw_document
from shop.core.findings import Refused
from shop.services import change_rule
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, cans_of, receive
from tests.pages import errors, send, text


@pytest.fixture
def paper(shop: Shop) -> Document:
    """Ines Calloway's certificate; another car of another customer is in the book too."""
    cans = cans_of(receive(shop))
    paper = Bay.check_in(shop).straight(cans[0], cans[1]).certificates.get().document
    other = Bay.check_in(shop, plate="SMP-999", customer="Tobin Farr")
    other.up_to_charge_again()
    other.draw(cans[2], "466", "200")
    return paper


def given(shop: Shop, paper: Document) -> CustomerLink:
    return give_link(paper, given_to="Ines Calloway", seen=True, at=NOON, by=shop.lee)


def address(link: CustomerLink) -> str:
    return f"/c/{link.token}/"


def test_the_counter_looks_at_the_car_and_gives_a_link(shop: Shop, paper: Document, lee: Client) -> None:
    url = f"/papers/{paper.number}/1/links/"
    assert "SMP-417" in text(lee.get(url))
    assert errors(send(lee, url, given_to="Ines Calloway"), "seen") == [
        "Look at plate and VIN, then tick that it is their car."
    ]
    assert errors(send(lee, url, given_to=" ", seen="on"), "given_to")
    assert not CustomerLink.objects.exists()

    send(lee, url, given_to="Ines Calloway, by text message", seen="on")
    page = lee.get(url)
    assert f"/c/{CustomerLink.objects.get().token}/" in page.content.decode()
    assert "Ines Calloway, by text message Lee Okonma" in text(page)


def test_anybody_with_the_link_reads_this_job_in_words_first(
    shop: Shop, paper: Document, stranger: Client
) -> None:
    answer = stranger.get(address(given(shop, paper)), headers={"accept-language": "en"})
    page = text(answer)
    assert "This device" not in page
    assert 'href="/"' not in answer.content.decode()  # the shop's own pages are not for them

    assert page.index("503 grams") < page.index("Vehicle and customer")
    assert "Ines Calloway" in page
    for private in ("Tobin Farr", "SMP-999", "$", "555-0199"):
        assert private not in page
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert "noindex" in answer.headers["X-Robots-Tag"]
    assert stranger.get(f"/papers/{paper.number}/1/").status_code == 302


def test_it_speaks_spanish_to_who_reads_spanish(shop: Shop, paper: Document, stranger: Client) -> None:
    link = address(given(shop, paper))

    assert "Copia en español" in text(stranger.get(link, headers={"accept-language": "es-MX"}))
    assert "Your service certificate" in text(
        stranger.get(f"{link}?language=en", headers={"accept-language": "es"})
    )


def test_card_numbers_are_shortened_unless_the_owner_shows_them(
    shop: Shop, paper: Document, stranger: Client
) -> None:
    link = address(given(shop, paper))
    page, pdf = stranger.get(link), stranger.get(f"{link}pdf/?language=en")
    printed = PdfReader(BytesIO(pdf.content)).pages

    assert "SAMPLE-7741" not in text(page)
    assert "…7741" in text(page)
    assert "SAMPLE-7741" not in "".join(one.extract_text() for one in printed)
    assert "SAMPLE-7741" in str(as_paper(paper))

    shown = {"key": "whole_card_on_link", "value": "1", "basis": "our customers may"}
    change_rule(shop.establishment, **shown, from_day=DAY, today=DAY, at=NOON, by=shop.marta)
    assert "SAMPLE-7741" in text(stranger.get(link))
    assert stranger.get(f"{link}pdf/?language=en").content == bytes(paper.pdf)


def test_it_follows_the_newest_version_and_stops_at_a_withdrawn_one(
    shop: Shop, paper: Document, stranger: Client
) -> None:
    link = address(given(shop, paper))
    wrong = Change("check-in-1-customer", "Ines Calloway", "Inés Calloway")
    job = paper.certificate.closing.job
    correct_job(job, [wrong], why="misspelt", on=DAY, at=NOON, by=shop.marta)
    newer = Document.objects.get(number=paper.number, version=2)
    page = text(stranger.get(f"{link}?language=en"))
    assert "This is version 2" in page
    assert "Inés Calloway" in page

    withdraw_document(newer, why="wrong car", at=NOON, by=shop.marta)
    gone = stranger.get(f"{link}?language=en")
    assert "withdrawn" in text(gone)
    assert "Calloway" not in text(gone)
    assert stranger.get(f"{link}pdf/").status_code == 404


def test_a_link_that_was_taken_back_and_one_that_never_was_say_the_same(
    shop: Shop, paper: Document, stranger: Client, sign_on: SignOn
) -> None:
    link = given(shop, paper)
    send(sign_on(shop.dev), f"/papers/links/{link.pk}/end/")
    gone, never = stranger.get(address(link)), stranger.get("/c/abc/")

    assert gone.status_code == never.status_code == 404
    assert text(gone) == text(never)
    assert "Calloway" not in text(gone)
    assert stranger.get(f"{address(link)}pdf/").status_code == 404
    with pytest.raises(Refused, match="taken back already"):
        end_link(link, at=NOON, by=shop.dev)


def test_two_links_cannot_be_told_from_each_other(shop: Shop, paper: Document) -> None:
    tokens = {given(shop, paper).token for _ in range(50)}
    assert len(tokens) == 50
    assert min(map(len, tokens)) >= 32  # 192 bits
