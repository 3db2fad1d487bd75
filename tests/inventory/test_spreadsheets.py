"""Spreadsheet files that were made to do harm, or that a program would have to guess at."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import pytest
from openpyxl import Workbook

from shop.core.findings import Refused
from shop.core.table import MOST_ROWS, Formula, Heading, shown
from shop.services.spreadsheets import DEEPEST, read_table

HEADINGS = (Heading("plate", "the plate"), Heading("make", "the make", needed=False))


def packed(change: Any = None, deep: int = 0) -> bytes:
    """A workbook with one row, one of whose parts is changed."""
    book = Workbook()
    page: Any = book.active
    page.append(["plate", "make"])
    page.append(["SMP-1", "van"])
    if deep:
        page.cell(row=deep, column=1, value="SMP-2")
    kept = io.BytesIO()
    book.save(kept)
    if change is None:
        return kept.getvalue()
    out = io.BytesIO()
    with zipfile.ZipFile(kept) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for one in old.infolist():
            new.writestr(one.filename, change(one.filename, old.read(one)))
    return out.getvalue()


def test_a_workbook_as_it_is_comes_as_rows_of_text() -> None:
    table = read_table(packed(), HEADINGS)
    assert table.rows == ((2, {"plate": "SMP-1", "make": "van"}),)


def test_a_part_that_unpacks_to_sixty_megabytes_is_not_opened() -> None:
    bomb = packed(lambda name, data: data + b" " * 60_000_000 if name.endswith("sheet1.xml") else data)
    assert len(bomb) < 200_000
    with pytest.raises(Refused, match="unpacks to far more"):
        read_table(bomb, HEADINGS)


@pytest.mark.parametrize("code", ["utf-8", "utf-16"])
def test_a_part_that_defines_entities_is_not_opened(code: str) -> None:
    laughs = '<?xml version="1.0"?><!DOCTYPE l [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]><l>&b;</l>'
    bomb = packed(lambda name, data: laughs.encode(code) if name.endswith("sheet1.xml") else data)
    with pytest.raises(Refused, match="cannot be opened"):
        read_table(bomb, HEADINGS)


@pytest.mark.parametrize("name", ["workbook.xml", "sheet1.xml", "styles.xml", "[Content_Types].xml"])
def test_a_broken_part_is_said_in_a_sentence(name: str) -> None:
    broken = packed(lambda part, data: data[: len(data) // 2] if part.endswith(name) else data)
    with pytest.raises(Refused, match=r"cannot be opened|no row under"):
        read_table(broken, HEADINGS)


def test_a_zip_that_is_no_workbook_is_said_in_a_sentence() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("readme.txt", "hello")
    with pytest.raises(Refused, match="cannot be opened"):
        read_table(out.getvalue(), HEADINGS)


def test_a_cell_far_below_is_not_left_out_in_silence() -> None:
    assert len(read_table(packed(deep=300), HEADINGS).rows) == 2
    with pytest.raises(Refused, match="reaches below row 50,000"):
        read_table(packed(deep=DEEPEST + 1), HEADINGS)


def test_ten_thousand_rows_go_and_one_more_does_not() -> None:
    content = "plate,make\n" + "".join(f"P{n},van\n" for n in range(MOST_ROWS))
    assert len(read_table(content.encode(), HEADINGS).rows) == MOST_ROWS
    with pytest.raises(Refused, match="more than 10,000 rows"):
        read_table((content + "P,van\n").encode(), HEADINGS)


def test_semicolons_quotes_and_blank_lines_are_read_by_the_heading() -> None:
    table = read_table(
        b'\xef\xbb\xbfPlate;"Make"\r\n"SMP;1";"a ""blue"" van"\r\n\r\n;\r\nSMP-2;x,y\r\n', HEADINGS
    )
    assert table.rows == (
        (2, {"plate": "SMP;1", "make": 'a "blue" van'}),
        (5, {"plate": "SMP-2", "make": "x,y"}),
    )


def test_a_cell_without_a_heading_is_in_trouble() -> None:
    table = read_table(b"plate,make\nSMP-1,van,red\n", HEADINGS)
    assert [(one.row, one.column, one.text) for one in table.troubles] == [(2, "3", "red")]


def test_what_begins_a_formula_in_a_csv_is_one() -> None:
    table = read_table(b"plate,make\n=1+1,van\n", HEADINGS)
    assert isinstance(table.rows[0][1]["plate"], Formula)


def test_a_cell_is_said_again_short_and_without_signs_that_steer_a_screen() -> None:
    assert shown("\u202e" + "x" * 100) == "\ufffd" + "x" * 59 + "…"


def test_words_kept_apart_from_the_sheet_are_read_in_their_places() -> None:
    """Most spreadsheet programs write each text once (ECMA-376, 18.4) and point to it; ours writes it in place."""
    words = ("plate", "make", "SMP-1", "van")
    cells = "".join(
        f'<row r="{row}"><c r="A{row}" t="s"><v>{row * 2 - 2}</v></c><c r="B{row}" t="s"><v>{row * 2 - 1}</v></c></row>'
        for row in (1, 2)
    )
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    shared = f'<sst xmlns="{main}">' + "".join(f"<si><t>{one}</t></si>" for one in words) + "</sst>"
    office = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    part = f'<Override PartName="/xl/sharedStrings.xml" ContentType="{office}.sharedStrings+xml"/></Types>'

    def apart(name: str, data: bytes) -> bytes:
        if name.endswith("sheet1.xml"):
            return f'<worksheet xmlns="{main}"><sheetData>{cells}</sheetData></worksheet>'.encode()
        return data.replace(b"</Types>", part.encode()) if name == "[Content_Types].xml" else data

    kept = io.BytesIO(packed(apart))
    with zipfile.ZipFile(kept, "a") as archive:
        archive.writestr("xl/sharedStrings.xml", shared)
    assert read_table(kept.getvalue(), HEADINGS).rows == ((2, {"plate": "SMP-1", "make": "van"}),)
