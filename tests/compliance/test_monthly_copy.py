"""The monthly copy: what is in it, what is not, when it is asked for."""

from __future__ import annotations

import hashlib
import io
import zipfile
from datetime import date
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from pypdf import PdfReader

from compliance.models import Closing, Package
from compliance.queries.attention import asking, worth_a_reminder
from compliance.services import issue_usage_report, make_bundle
from compliance.sheets.whole import MANIFEST
from compliance.sheets.writing import into_zip
from inventory.models import Container
from inventory.services import InvoiceIn, add_invoice
from shop.core.findings import Refused
from shop.core.period import Period
from tests.compliance.office import photograph_card, sign
from tests.compliance.sheets.reading import body
from tests.compliance.work import Bay, rename
from tests.factories import DAY, NOON, Shop

pytestmark = pytest.mark.one_engine

MONTH = Period.month(DAY)


@pytest.fixture
def closed(bay: Bay, cans: list[Container]) -> Closing:
    return bay.straight(cans[0], cans[1])


def copy_of(shop: Shop, month: Period = MONTH, today: date = MONTH.last) -> dict[str, bytes]:
    file = io.BytesIO()
    make_bundle(shop.establishment, into_zip(file), month=month, today=today, at=NOON, by=shop.lee)
    with zipfile.ZipFile(file) as held:
        return {name: held.read(name) for name in held.namelist()}


def test_a_month_holds_its_papers_its_book_and_what_has_to_be_at_the_shop(
    shop: Shop, bay: Bay, closed: Closing
) -> None:
    photograph_card(shop, shop.dev)
    paper = sign(shop)
    rename(closed.certificates.get().document, "Inez", "misspelt", at=bay.later(), by=shop.marta)
    files = copy_of(shop)
    assert {"papers/C24-0001-v1.pdf", "papers/C24-0001-v2.pdf", f"statements/{paper.number}-v1.pdf"} <= set(
        files
    )
    assert any(name.startswith("cards/") for name in files)
    assert "SAMPLE-7741" in files["lists/people.csv"].decode()
    assert "Inez" in files["lists/corrections.csv"].decode()
    assert files["lists/book.csv"].decode().count("charged") > 0
    lines = [line.split("  ", 1) for line in files[MANIFEST].decode().splitlines()]
    assert {name: hashlib.sha256(files[name]).hexdigest() for _seal, name in lines} == {
        name: seal for seal, name in lines
    }


def test_no_price_is_in_it(shop: Shop, closed: Closing) -> None:
    delivery = shop.establishment.deliveries.get()
    add_invoice(delivery, InvoiceIn("550917", DAY, 64218), today=DAY, at=NOON, by=shop.lee)
    text = b"".join(data for name, data in copy_of(shop).items() if name.endswith((".csv", ".txt"))).decode()
    for money in ("642.18", "64218", "550917", "$"):
        assert money not in text


def test_an_unsigned_month_has_its_draft_and_says_so(shop: Shop, closed: Closing) -> None:
    files = copy_of(shop)
    draft = PdfReader(io.BytesIO(files["usage-report-draft.pdf"])).pages[0].extract_text()
    assert "DRAFT" in draft
    assert "nobody has signed" in files["README.txt"].decode()


def test_a_signed_month_has_its_report_and_no_draft(shop: Shop, closed: Closing) -> None:
    last = MONTH.last
    report = issue_usage_report(shop.establishment, MONTH, today=last, at=NOON, by=shop.marta)
    files = copy_of(shop)
    assert files[f"papers/{report.number}-v1.pdf"] == bytes(report.pdf)
    assert "usage-report-draft.pdf" not in files


def test_another_month_holds_nothing_of_this_one(shop: Shop, closed: Closing) -> None:
    after = Period.month(date(DAY.year + 1, 1, 5))
    files = copy_of(shop, after, after.last)
    assert not any(name.startswith("papers/C24") for name in files)
    assert "charged" not in files["lists/book.csv"].decode()


def test_a_month_that_has_not_begun_is_refused(shop: Shop, closed: Closing) -> None:
    with pytest.raises(Refused, match="has not begun"):
        copy_of(shop, Period.month(date(DAY.year + 1, 1, 5)), DAY)


def test_it_is_asked_for_until_it_is_made_after_the_month(shop: Shop, closed: Closing) -> None:
    first = date(MONTH.last.year, MONTH.last.month + 1, 1)

    def asked() -> int:
        rows = [*asking(shop.establishment, first, shop.lee), *worth_a_reminder(shop.establishment, first)]
        assert not any("monthly copy" in one.text for one in asking(shop.establishment, first, shop.dev))
        return sum("monthly copy" in one.text for one in rows)

    assert asked() == 2
    copy_of(shop)  # made at noon of a day inside the month: what came after is not in it
    assert asked() == 2
    file, late = io.BytesIO(), NOON.replace(month=first.month, day=2)
    make_bundle(shop.establishment, into_zip(file), month=MONTH, today=first, at=late, by=shop.lee)
    assert asked() == 0


def test_the_page_hands_it_out_and_says_when_it_was_made(shop: Shop, closed: Closing, lee: Client) -> None:
    page = lee.get("/records/bundle/")
    months = [key for key, _title in page.context["form"].fields["month"].choices]
    answer = lee.post("/records/bundle/", {"month": months[1]})
    assert hashlib.sha256(body(answer)).hexdigest() == Package.objects.get().sha256
    assert f"{months[1]}.zip" in answer.headers["Content-Disposition"]
    assert "by Lee Okonma" in lee.get("/records/bundle/").content.decode()
    assert lee.post("/records/bundle/", {"month": "1999-01"}).status_code == 200
    assert Package.objects.count() == 1


def test_the_command_writes_the_month_into_its_own_folder(
    shop: Shop, closed: Closing, tmp_path: Path
) -> None:
    said: dict[str, object] = {"by": shop.marta.username, "month": f"{DAY:%Y-%m}", "stdout": io.StringIO()}
    call_command("bundle", str(tmp_path), **said)
    folder = tmp_path / f"{DAY:%Y-%m}"
    assert (folder / "papers/C24-0001-v1.pdf").read_bytes() == bytes(closed.certificates.get().document.pdf)
    seal = hashlib.sha256((folder / MANIFEST).read_bytes()).hexdigest()
    assert Package.objects.get().manifest_sha256 == seal
    with pytest.raises(CommandError, match="not empty"):
        call_command("bundle", str(tmp_path), **said)
    with pytest.raises(CommandError, match="no month"):
        call_command("bundle", str(tmp_path), by=shop.marta.username, month="June")
