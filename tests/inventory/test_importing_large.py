"""Ten thousand rows with 37 planted faults: exactly those are listed, nothing is written, and the good file goes in and
out again as one."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime
from time import process_time
from typing import Any

import pytest
from django.apps import apps
from openpyxl import Workbook

from compliance.queries.whole_book import whole_book_findings
from inventory.core.importing import HEADINGS, What
from inventory.models import Container, CountLine, Movement
from inventory.services import keep_draft, look_at, undo_import, write_import
from shop.core.findings import Refused
from shop.core.mass import ZERO, grams, total
from shop.models import Vehicle
from tests.factories import DAY, NOON, Shop

ROWS = 10_000
SECONDS = 60  # of the processor, far above what it takes; asking the database for each row would take minutes
NEXT_DAY = datetime(2024, 4, 3, 18, 0, tzinfo=UTC)
# row of the spreadsheet, column, what is typed there, and a word of the sentence about it
STOCK_FAULTS = (
    (3, "refrigerant", "R-12", "No kind of can"),
    (40, "refrigerant", "", "is empty"),
    (77, "kind", "13-oz can", "has this name"),
    (104, "kind", "", "is empty"),
    (230, "kind", "k" * 41, "longer than 40"),
    (311, "state", "half", "one of"),
    (405, "state", "", "is empty"),
    (512, "cans", "0", "1 to 500"),
    (613, "cans", "501", "1 to 500"),
    (714, "cans", "a few", "whole number"),
    (815, "cans", "1.5", "whole number"),
    (916, "cans", "-3", "whole number"),
    (1017, "cans", "", "is empty"),
    (1118, "cans", "=1+2", "formula"),
    (1219, "lot", "L" * 41, "longer than 40"),
    (1320, "lot", "two\nlines", "second line"),
    (1421, "lot", "\u202eL1", "cannot be printed"),
    (1522, "lot", "=HYPERLINK(1)", "formula"),
    (1623, "gross", "466", "by its label"),
    (1724, "unit", "g", "by its label"),
    (1825, "scale", "SC-1", "by its label"),
    # from here on the rows are of open cans
    (9001, "gross", "", "is empty"),
    (9050, "gross", "900", "full can"),
    (9100, "gross", "60", "empty shell"),
    (9150, "gross", "16.4", "looks like ounces"),
    (9200, "gross", "abc", "not a weight"),
    (9250, "gross", "-295", "below zero"),
    (9300, "gross", "1,295", "two ways"),
    (9350, "gross", "295 fl oz", "fluid ounce"),
    (9400, "gross", "=A1", "formula"),
    (9450, "unit", "stone", "no unit of this book"),
    (9500, "unit", "", "is empty"),
    (9550, "unit", "oz", "This scale shows g"),
    (9600, "scale", "SC-9", "No scale in service"),
    (9650, "scale", "", "is empty"),
    (9700, "cans", "2", "row of its own"),
    (9999, "state", "opened", "one of"),
)
NAMES = [one.name for one in HEADINGS[What.STOCK]]


def stock(faults: Any = ()) -> list[list[str]]:
    """Ten thousand cans, one on each row, the last thousand open; some cells are not what they should be."""
    rows = [["R-134a", "12-oz can", "sealed", "1", f"L{row % 50:02d}", "", "", ""] for row in range(2, 9001)]
    rows += [
        ["R-134a", "12-oz can", "open", "1", "", str(200 + row % 200), "g", "SC-1"]
        for row in range(9001, ROWS + 2)
    ]
    for row, column, typed, _ in faults:
        rows[row - 2][NAMES.index(column)] = typed
    return [NAMES, *rows]


def as_csv(rows: list[list[str]]) -> bytes:
    kept = io.StringIO()
    csv.writer(kept, delimiter=";").writerows(rows)
    return kept.getvalue().encode("utf-8-sig")


def as_xlsx(rows: list[list[str]]) -> bytes:
    book = Workbook(write_only=True)
    page: Any = book.create_sheet()
    for row in rows:
        page.append([int(cell) if cell.isdecimal() else cell or None for cell in row])
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def everything() -> dict[str, list[Any]]:
    """Every row of every table, by key and content."""
    return {
        model._meta.label: list(model._default_manager.order_by("pk").values_list())
        for model in apps.get_models()
        if model._meta.app_label in ("shop", "inventory", "compliance")
    }


def test_there_are_thirty_seven_faults() -> None:
    assert len({(row, column) for row, column, _, _ in STOCK_FAULTS}) == 37


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_exactly_the_planted_faults_are_listed_and_nothing_is_written(shop: Shop, kind: str) -> None:
    content = as_csv(stock(STOCK_FAULTS)) if kind == "csv" else as_xlsx(stock(STOCK_FAULTS))
    before = everything()

    look = look_at(What.STOCK, content, shop.establishment, today=DAY)

    assert [(one.row, one.column) for one in look.troubles] == [one[:2] for one in STOCK_FAULTS]
    for one, (_, _, _, word) in zip(look.troubles, STOCK_FAULTS, strict=True):
        assert word in one.message, one
    assert look.in_file == ROWS
    draft = keep_draft(What.STOCK, "stock", content, shop.establishment, at=NOON, by=shop.marta)
    with pytest.raises(Refused, match="37 cells of the file are in trouble"):
        write_import(draft, today=DAY, at=NOON, by=shop.marta)
    draft.delete()
    assert everything() == before


@pytest.mark.one_engine
def test_ten_thousand_cans_go_in_and_out_as_one(shop: Shop, record_property: Any) -> None:
    content = as_csv(stock())
    began = process_time()
    draft = keep_draft(What.STOCK, "stock.csv", content, shop.establishment, at=NOON, by=shop.marta)
    made = write_import(draft, today=DAY, at=NOON, by=shop.marta)
    written = process_time() - began

    cans = Container.objects.filter(kind="can")
    assert cans.count() == ROWS
    label = total(one.found for one in CountLine.objects.filter(how="sealed"))
    assert label == grams(340) * 8999
    began = process_time()
    undo_import(made, "the wrong file", today=DAY, at=NEXT_DAY, by=shop.marta)
    undone = process_time() - began

    assert cans.filter(fate=None).count() == 0
    held = Movement.objects.balances(["K-0001", "K-5000", "K-9500", "K-10000"])
    assert set(held.values()) == {ZERO}
    assert whole_book_findings() == []
    assert written + undone < SECONDS
    record_property(
        "measured",
        f"10,000 cans from CSV written in {written:.1f} s of CPU, undone in {undone:.1f} s",
    )


@pytest.mark.one_engine
def test_ten_thousand_vehicles_go_in_and_out_as_one(shop: Shop, record_property: Any) -> None:
    rows = [["plate", "vin", "make", "year"], *([f"P{n:05d}", "", "van", "2014"] for n in range(ROWS))]
    content = as_xlsx(rows)
    began = process_time()
    draft = keep_draft(What.VEHICLES, "cars.xlsx", content, shop.establishment, at=NOON, by=shop.marta)
    made = write_import(draft, today=DAY, at=NOON, by=shop.marta)
    written = process_time() - began
    assert Vehicle.objects.count() == ROWS
    began = process_time()
    undo_import(made, "the wrong file", today=DAY, at=NEXT_DAY, by=shop.marta)
    undone = process_time() - began

    assert not Vehicle.objects.exists()
    assert written + undone < SECONDS
    record_property(
        "measured",
        f"10,000 cars from XLSX written in {written:.1f} s of CPU, undone in {undone:.1f} s",
    )
