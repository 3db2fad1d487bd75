"""Labels: the number twice, the refrigerant, and a code that a scanner reads back."""

from __future__ import annotations

import re
import shutil
import subprocess
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from PIL import Image
from pypdf import PageObject, PdfReader

from compliance.services.labels import label_pdf
from inventory.core.label_stock import STOCKS, Stock, places
from inventory.core.numbers import number_in, numbers_in
from inventory.models import Container, LabelSheet
from inventory.services import LineIn, mark_mixed, print_labels
from shop.core.findings import Refused
from tests.factories import NOON, Shop, cans_of, codes, receive


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    line = LineIn(shop.can12, on_slip=36, sound=36, lots=(("L-2204", 36),))
    return cans_of(receive(shop, line))


def sheet_of(shop: Shop, containers: list[Container], stock: str, skip: int = 0) -> LabelSheet:
    return print_labels(containers, stock, shop.establishment, skip=skip, at=NOON, by=shop.lee)


def read_back(pdf: bytes, stock: Stock, count: int, folder: Path, dpi: int) -> list[str]:
    """The code of every label, each held before the scanner by itself."""
    if not (shutil.which("zbarimg") and shutil.which("pdftoppm")):
        pytest.fail("zbarimg or pdftoppm is missing; .ci/run installs them")
    (folder / "labels.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(dpi), "-gray", "labels.pdf", "page"], cwd=folder, check=True)
    pages = [Image.open(path) for path in sorted(folder.glob("page*.pgm"))]
    dot = dpi / 72
    for number, (page, x, y) in enumerate(places(stock, count)):
        box = (x * dot, y * dot, (x + stock.label[0]) * dot, (y + stock.label[1]) * dot)
        pages[page].crop(tuple(map(round, box))).save(folder / f"label{number:03}.png")  # type: ignore[arg-type]
    for image in pages:
        image.close()
    labels = sorted(path.name for path in folder.glob("label*.png"))
    command = ["zbarimg", "--quiet", "--raw", *labels]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=True).stdout.split()


@pytest.mark.parametrize(("stock", "count"), [("strip", 3), ("sheet-30", 36), ("sheet-10", 4)])
def test_every_code_of_a_delivery_is_read_back(
    stock: str, count: int, shop: Shop, cans: list[Container], tmp_path: Path
) -> None:
    # 203 dots an inch is what a label printer has
    read = read_back(label_pdf(sheet_of(shop, cans[:count], stock)), STOCKS[stock], count, tmp_path, 203)
    assert [number_in(one) for one in read] == codes(cans[:count])
    assert read[0].startswith(settings.SITE_URL)


def test_a_cylinders_tag_is_read_back_and_says_what_it_must(shop: Shop, tmp_path: Path) -> None:
    pdf = label_pdf(sheet_of(shop, [shop.rc05], "tag"))
    assert [number_in(one) for one in read_back(pdf, STOCKS["tag"], 1, tmp_path, 203)] == ["RC-05"]
    text = PdfReader(BytesIO(pdf)).pages[0].extract_text()
    for said in ("RECOVERED", "R-1234yf", "FLAMMABLE", "Do not mix", "Gross at most"):
        assert said in text, said


@pytest.mark.parametrize("stock", [one for one in STOCKS if one != "tag"])
def test_a_flammable_cylinder_on_a_small_label_keeps_its_lines_apart_and_its_box_whole(
    stock: str, shop: Shop
) -> None:
    sheet_of(shop, [shop.rc05], stock)
    pdf = label_pdf(sheet_of(shop, [shop.rc05], stock))  # the second says that it is a reprint
    page, lines = PdfReader(BytesIO(pdf)).pages[0], dict[float, float]()

    def seen(words: str, _cm: Any, tm: list[float], _font: Any, size: float) -> None:
        if words.strip():
            lines[tm[5]] = size * tm[3]

    said = page.extract_text(visitor_text=seen)
    assert "reprint" in said
    assert "RECOVERED" in said  # on every size, or it could be taken for a new one
    rows = sorted(lines.items(), reverse=True)
    for (above, _), (below, size) in pairwise(rows):
        assert above - below >= size
    left, low, wide, _high = map(float, re.findall(r"0\.8 w (\S+) (\S+) (\S+) (\S+) re S", content(page))[0])
    assert left + wide <= STOCKS[stock].label[0]
    under = [(y, size) for y, size in rows if y < low]
    assert len(under) == 4
    assert under[0][0] + 0.66 * under[0][1] <= low  # no capital of the first line touches the box


def content(page: PageObject) -> str:
    stream = page.get_contents()
    assert stream is not None
    return stream.get_data().decode("latin-1")


def test_a_mixed_cylinder_is_named_mixed(shop: Shop) -> None:
    mark_mixed(shop.rc02, since=NOON, why="the identifier says so", at=NOON, by=shop.dev)
    text = PdfReader(BytesIO(label_pdf(sheet_of(shop, [shop.rc02], "tag")))).pages[0].extract_text()
    assert "MIXED OR UNKNOWN" in text
    assert "never charge it" in text


def test_the_number_stands_twice_and_a_reprint_says_so(shop: Shop, cans: list[Container]) -> None:
    first = PdfReader(BytesIO(label_pdf(sheet_of(shop, cans[:1], "strip")))).pages[0].extract_text()
    again = PdfReader(BytesIO(label_pdf(sheet_of(shop, cans[:1], "strip")))).pages[0].extract_text()
    assert first.count("K-0001") == 2
    assert "340 g / 12.0 oz" in first
    assert "lot L-2204" in first
    assert ("reprint" in first, "reprint" in again) == (False, True)


def test_a_sheet_that_was_begun_is_used_up(shop: Shop, cans: list[Container]) -> None:
    pdf = PdfReader(BytesIO(label_pdf(sheet_of(shop, cans[:5], "sheet-30", skip=27))))
    assert ["K-0003" in page.extract_text() for page in pdf.pages] == [True, False]
    assert "K-0004" in pdf.pages[1].extract_text()


@pytest.mark.parametrize("stock", STOCKS.values(), ids=list(STOCKS))
def test_every_label_lies_on_its_page(stock: Stock) -> None:
    for page, x, y in places(stock, stock.on_a_page):
        assert page == 0
        assert 0 <= x <= x + stock.label[0] <= stock.page[0] + 1e-6
        assert 0 <= y <= y + stock.label[1] <= stock.page[1] + 1e-6


def test_the_same_sheet_gives_the_same_bytes(shop: Shop, cans: list[Container]) -> None:
    sheet = sheet_of(shop, cans, "sheet-30")
    assert label_pdf(sheet) == label_pdf(sheet)


@pytest.mark.parametrize(
    ("stock", "skip", "code"), [("a4", 0, "stock-unknown"), ("sheet-10", 10, "skip-absurd")]
)
def test_what_no_sheet_has_is_refused(
    stock: str, skip: int, code: str, shop: Shop, cans: list[Container]
) -> None:
    with pytest.raises(Refused) as refused:
        sheet_of(shop, cans, stock, skip)
    assert [one.code for one in refused.value.findings] == [code]
    assert not LabelSheet.objects.exists()


@pytest.mark.parametrize(
    "typed",
    [
        "312",
        "K312",
        " k-0312 ",
        "http://localhost:8000/containers/K-0312/",
        "HTTPS://BOOK.EXAMPLE/CONTAINERS/K-0312",
    ],
)
def test_a_number_is_known_however_it_was_typed_or_scanned(typed: str) -> None:
    assert number_in(typed) == "K-0312"


@pytest.mark.parametrize("typed", ["", "RC-02", "K-12x", "9" * 30, "http://x/other/K-0312/", "٣١٢"])
def test_what_is_no_number_of_a_can_is_left_as_it_is(typed: str) -> None:
    assert number_in(typed) == typed.strip().upper()


def test_a_list_names_each_container_once() -> None:
    assert numbers_in("3 K-0003,\n rc-02; 3") == ["K-0003", "RC-02"]


def test_labels_of_a_delivery_are_printed_through_the_pages(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    assert "K-0036" in lee.get("/labels/new/?delivery=D24-0001").content.decode()
    typed = {"containers": "K-0001 K-0002", "stock": "strip", "once": "a" * 22}
    answer = lee.post("/labels/new/", typed)
    pk = LabelSheet.objects.get().pk
    assert answer.headers["Location"] == f"/labels/{pk}/"
    assert lee.get(f"/labels/{pk}/").status_code == 200
    pdf = lee.get(f"/labels/{pk}/pdf/")
    assert pdf.content.startswith(b"%PDF-1.4")
    assert len(PdfReader(BytesIO(pdf.content)).pages) == 2


def test_the_door_sheet_says_what_is_inside(shop: Shop, cans: list[Container], lee: Client) -> None:
    pdf = lee.get("/labels/door/").content
    text = " ".join(PdfReader(BytesIO(pdf)).pages[0].extract_text().split())
    for said in ("IN THIS CABINET", "36 sealed cans, 0 open", "12,240 g", "RC-02", "fire marshal"):
        assert said in text, said
