"""The shop is sold: a closing count, the pack with customers' details and without, and the deal that slips."""

from __future__ import annotations

import io
import zipfile
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone
from pypdf import PdfReader

from compliance.core.hand_over import LINE
from compliance.models import Document, Package, SalePack
from compliance.services import SaleIn, make_hand_over
from compliance.sheets.writing import into_zip
from inventory.models import Count
from inventory.queries import in_the_cabinet
from inventory.services import CountedIn, CountIn, record_count
from shop.core.findings import Refused
from tests.compliance.office import leave, photograph_card
from tests.compliance.sheets.reading import body
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop, cans_of, receive
from tests.pages import errors, text

pytestmark = pytest.mark.one_engine

SALE = "/records/hand-over/"
OF_CUSTOMERS = ("Ines Calloway", "SMP-417", "2014 sedan, blue")


@pytest.fixture
def evening(settings: Any) -> None:
    """The shop's clock stands on DAY."""
    settings.PRACTICE_OFFSET = NOON + timedelta(hours=2) - timezone.now()


@pytest.fixture
def working(evening: None, shop: Shop) -> Shop:
    """A closed job of a customer, an open one, and two cards on file."""
    cans = cans_of(receive(shop))
    Bay.check_in(shop).straight(cans[0], cans[1])
    Bay.check_in(shop, plate="SMP-999")
    photograph_card(shop, shop.dev)
    photograph_card(shop, shop.rosa)
    return shop


def count_all(shop: Shop, at: datetime = NOON + timedelta(hours=1)) -> Count:
    here = list(in_the_cabinet(shop.establishment))
    rows = [CountedIn(one, "sealed") for one in here if one.kind == "can" and one.last_text is None]
    asked = {one.container.pk for one in rows}
    out = [(one, "not asked") for one in here if one.pk not in asked]
    return record_count(CountIn(DAY, rows, left_out=out), shop.establishment, at=at, by=shop.lee)


def unpacked(answer: Any) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(body(answer))) as held:
        return {name: held.read(name) for name in held.namelist()}


def words(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())


def all_words(files: dict[str, bytes]) -> str:
    plain = [data.decode() for name, data in files.items() if name.endswith((".csv", ".txt"))]
    return " ".join([*plain, *(words(data) for name, data in files.items() if name.endswith(".pdf"))])


def test_without_a_closing_count_the_page_sends_to_the_count(working: Shop, marta: Client) -> None:
    page = text(marta.get(SALE))
    assert "Count the cabinet on the day of the sale first." in page
    assert "Make the hand-over pack" not in page


def test_the_cover_has_both_signature_lines_and_what_passes(working: Shop, marta: Client) -> None:
    count = count_all(working)
    staying = [str(working.dev.pk)]
    answer = marta.post(SALE, {"buyer": "Otis Vale", "count": str(count.pk), "staff": staying})
    files = unpacked(answer)
    cover = words(files["cover.pdf"])
    assert cover.count(LINE) == 2
    assert "Seller, Marta Quill" in cover
    assert "Buyer, Otis Vale" in cover
    assert "no number" not in cover  # it never gets one
    assert "Sealed cans were counted and stand at their label weight; they were not weighed." in cover
    assert "J24-0002" in cover
    assert "SAMPLE-7741" in cover
    assert "RC-02" in cover  # in the cabinet, and told as not counted
    due = DAY + timedelta(30)
    assert f"{due:%b} {due.day} {due.year}" in cover
    assert "from memory" in cover
    rows = files["count/closing-count.csv"].decode().splitlines()
    assert len(rows) - 1 == count.lines.count()


def test_the_buyers_statement_is_filled_in_and_nobody_has_signed_it(working: Shop, marta: Client) -> None:
    count = count_all(working)
    files = unpacked(marta.post(SALE, {"buyer": "Otis Vale", "count": str(count.pk)}))
    statement = words(files["equipment-statement.pdf"])
    assert "NOT SIGNED" in statement
    assert "Otis Vale" in statement
    assert "82.42(a)(1)" in statement
    assert "Marta Quill" not in statement
    assert not Document.objects.filter(kind=Document.Kind.STATEMENT).exists()


def test_no_customer_is_in_a_pack_that_was_not_agreed_on(working: Shop, marta: Client) -> None:
    count = count_all(working)
    staying = [str(working.dev.pk)]
    files = unpacked(marta.post(SALE, {"buyer": "Otis Vale", "count": str(count.pk), "staff": staying}))
    told = all_words(files)
    assert [one for one in OF_CUSTOMERS if one in told] == []
    assert "J24-0001" in files["shop/lists/jobs.csv"].decode()
    assert "charged" in files["shop/lists/book.csv"].decode()
    assert "Customers' details are not in it." in files["README.txt"].decode()
    dev = working.dev.cards.get().pk
    assert [name for name in files if "/cards/" in name] == [
        f"shop/cards/{dev}-{working.dev.cards.get().images.get().pk}.jpg"
    ]
    assert not SalePack.objects.get().with_customers


def test_with_both_agreed_the_whole_shop_goes_along(working: Shop, marta: Client) -> None:
    count = count_all(working)
    said = {"buyer": "Otis Vale", "count": str(count.pk), "with_customers": "on"}
    files = unpacked(marta.post(SALE, said))
    assert "shop/papers/C24-0001-v1.pdf" in files
    told = all_words(files)
    assert [one for one in OF_CUSTOMERS if one not in told] == []
    assert [name for name in files if "/cards/" in name] == []  # nobody was named as staying


def test_the_deal_slips_and_the_pack_is_made_anew(working: Shop, marta: Client, settings: Any) -> None:
    first = count_all(working)
    said = {"buyer": "Otis Vale", "count": str(first.pk)}
    unpacked(marta.post(SALE, said))
    unpacked(marta.post(SALE, said | {"buyer": "Otis Vale and Daughters"}))
    assert Package.objects.filter(kind="hand-over pack").count() == 2
    page = text(marta.get(SALE))
    assert "Otis Vale and Daughters" in page
    assert "The buyer’s statement by" in page.replace("'", "’")


def test_the_seller_is_not_the_buyer_and_a_leaver_does_not_stay(working: Shop, marta: Client) -> None:
    count = count_all(working)
    answer = marta.post(SALE, {"buyer": "marta quill", "count": str(count.pk)})
    assert errors(answer, "buyer") == ["You sell; the buyer is somebody else, and signs the new statement."]
    leave(working, working.rosa)
    sale = SaleIn("Otis Vale", count, [working.rosa])
    signed: dict[str, Any] = {"today": DAY, "at": NOON, "by": working.marta}
    with pytest.raises(Refused, match="does not work here"):
        make_hand_over(working.establishment, sale, into_zip(io.BytesIO()), **signed)
    alone, late = SaleIn("Otis Vale", count, []), signed | {"today": DAY + timedelta(90)}
    with pytest.raises(Refused, match="Count the cabinet on the day"):
        make_hand_over(working.establishment, alone, into_zip(io.BytesIO()), **late)
    assert SalePack.objects.count() == 0
