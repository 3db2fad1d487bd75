"""A spreadsheet file as rows of text: CSV as it is, XLSX after a look into its ZIP. No formula is ever computed."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Sequence
from datetime import datetime, time
from typing import Any

from shop.core.phrase import phrase
from shop.core.table import (
    MOST_BYTES,
    MOST_COLUMNS,
    Formula,
    Heading,
    Table,
    csv_rows,
    refused_file,
    table_of,
)

PACKED, OLD = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"  # how a ZIP and how a spreadsheet of before 2007 begin
UNPACKED = 50 * 1024 * 1024  # bytes of all parts of an XLSX together
PARTS = 500
DEEPEST = 50_000  # rows that are looked at, blank ones too
DOCTYPE = tuple("<!DOCTYPE".encode(one) for one in ("utf-8", "utf-16-le", "utf-16-be"))


def read_table(content: bytes, headings: Sequence[Heading]) -> Table:
    """The file's table. Raises ``Refused`` with one sentence about the field ``file`` when it cannot be read."""
    if len(content) > MOST_BYTES:
        raise refused_file("file-large", phrase("The file is larger than 5 MB. Send it in parts."))
    if content.startswith(OLD):
        sentence = phrase("This is a spreadsheet of an old kind. Save it as XLSX or as “CSV UTF-8”.")
        raise refused_file("file-old", sentence)
    if not content.startswith(PACKED):
        return table_of(csv_rows(content, [one.name for one in headings]), headings)
    _look_into(content)
    return table_of(_xlsx_rows(content), headings)


def _look_into(content: bytes) -> None:
    """Refuse a ZIP that unpacks to far more than it says a spreadsheet needs, or whose parts define entities. A part
    never unpacks to more than the size that is added up here: the reader stops there."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = archive.infolist()
            if len(parts) > PARTS or sum(one.file_size for one in parts) > UNPACKED:
                sentence = phrase("The file unpacks to far more than it should. Save it anew, or as CSV.")
                raise refused_file("file-bomb", sentence)
            if any(sign in archive.read(one) for one in parts for sign in DOCTYPE):
                raise _broken()
    except (zipfile.BadZipFile, RuntimeError, NotImplementedError, OSError, ValueError, EOFError) as error:
        raise _broken() from error


def _broken() -> Exception:
    return refused_file("file-broken", phrase("This XLSX cannot be opened. Save it anew, or as “CSV UTF-8”."))


def _xlsx_rows(content: bytes) -> Iterator[tuple[int, Sequence[str]]]:
    """The rows of the one sheet that has any; a second one is not left out in silence."""
    from openpyxl import load_workbook

    try:
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=False, keep_links=False)
    except Exception as error:  # the reader raises whatever a broken part leads it into
        raise _broken() from error
    filled = None
    for page in book.worksheets:
        page.reset_dimensions()
        for number, cells in _page_rows(page):
            if not any(cell.strip() for cell in cells):
                continue
            if filled not in (None, page.title):
                sentence = phrase("The file has rows on more than one sheet. Leave one of them.")
                raise refused_file("file-sheets", sentence)
            filled = page.title
            yield number, cells
    book.close()


def _page_rows(page: Any) -> Iterator[tuple[int, Sequence[str]]]:
    rows = page.iter_rows()
    number = 0
    while True:
        try:
            row = next(rows, None)
            cells = [] if row is None else [_text(cell) for cell in row[: MOST_COLUMNS + 40]]
        except Exception as error:
            raise _broken() from error
        if row is None:
            return
        number += 1
        if number > DEEPEST:
            sentence = phrase(
                "The sheet reaches below row {most}. Delete the empty rows.", most=f"{DEEPEST:,}"
            )
            raise refused_file("file-deep", sentence)
        yield number, cells


def _text(cell: Any) -> str:
    """A cell as somebody would have typed it."""
    value = cell.value
    if value is None:
        return ""
    if cell.data_type in ("f", "e"):
        return Formula(value if isinstance(value, str) else "=")
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, float):
        return f"{value:.0f}" if value.is_integer() and abs(value) < 1e15 else repr(value)
    return str(value)
