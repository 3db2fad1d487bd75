"""A table that somebody typed in a spreadsheet: rows of text by heading, and what is wrong with a cell."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

from shop.core.findings import Refused, blocked
from shop.core.phrase import phrase

MOST_BYTES = 5 * 1024 * 1024
MOST_ROWS = 10_000
MOST_COLUMNS = 60
LONGEST_SHOWN = 60  # characters of a troubled cell that are said again
ISO = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
WHOLE = re.compile(r"\d{1,9}", re.ASCII)
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u202a-\u202e\u2066-\u2069]")


class Formula(str):
    """A cell that computes or shows an error. Nothing here computes it, so it says nothing."""


@dataclass(frozen=True, slots=True)
class Heading:
    """One column that is understood. ``needed`` means that the file must have it, even when a cell may be empty."""

    name: str
    about: str
    example: str = ""
    needed: bool = True


@dataclass(frozen=True, slots=True)
class Trouble:
    """One cell that cannot be taken: its row as the spreadsheet counts, its column, what stands there, and why not."""

    row: int
    column: str
    text: str
    message: str


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells by heading, each with its number in the spreadsheet; blank rows are left out."""

    rows: tuple[tuple[int, dict[str, str]], ...]
    troubles: tuple[Trouble, ...] = ()


def refused_file(code: str, sentence: str) -> Refused:
    """The whole file cannot be read."""
    return Refused([blocked(code, sentence, "file")])


def csv_rows(content: bytes, names: Iterable[str]) -> Iterator[tuple[int, Sequence[str]]]:
    """The records of a CSV, numbered from 1 as a spreadsheet shows them. Raises ``Refused`` for the whole file."""
    text = _decoded(content)
    first = text.partition("\n")[0]
    known = set(names)
    comma, semicolon = (sum(_folded(one) in known for one in first.split(sign)) for sign in (",", ";"))
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=";" if semicolon > comma else ",", strict=True
    )
    number = 0
    try:
        for number, record in enumerate(reader, 1):
            yield number, [Formula(one) if one.startswith("=") else one for one in record]
    except csv.Error as error:
        sentence = phrase(
            "Row {row} breaks off inside a quoted cell, or has one that is too long. Save the file once more as CSV.",
            row=number + 1,
        )
        raise refused_file("file-quotes", sentence) from error


def _decoded(content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\0" in content[:1000]:
        sentence = phrase("The file is no CSV in UTF-8. Save it as “CSV UTF-8”, or as XLSX.")
        raise refused_file("file-encoding", sentence)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        sentence = phrase(
            "Row {row} has a letter that is not in UTF-8. Save the file as “CSV UTF-8”, or as XLSX.", row=line
        )
        raise refused_file("file-encoding", sentence) from error


def table_of(records: Iterable[tuple[int, Sequence[str]]], headings: Sequence[Heading]) -> Table:
    """Cells under their headings. Raises ``Refused`` when there is nothing or far too much; a heading that is missing,
    strange or doubled is a trouble of row 1, and then no other row is read."""
    names: list[str] = []
    rows: list[tuple[int, dict[str, str]]] = []
    troubles: list[Trouble] = []
    for number, record in records:
        if len(record) > MOST_COLUMNS and any(one.strip() for one in record[MOST_COLUMNS:]):
            sentence = phrase("Row {row} has more than {most} columns.", row=number, most=MOST_COLUMNS)
            raise refused_file("file-columns", sentence)
        cells = [one if isinstance(one, Formula) else one.strip() for one in record[:MOST_COLUMNS]]
        if not names:
            names = [_folded(one) for one in cells]
            troubles = list(_heading_troubles(names, cells, headings, number))
            if troubles:
                return Table((), tuple(troubles))
        elif any(cells):
            rows.append((number, {name: cell for name, cell in zip(names, cells, strict=False) if name}))
            troubles += _stray(number, names, cells)
            if len(rows) > MOST_ROWS:
                sentence = phrase(
                    "The file has more than {most} rows. Send it in parts.", most=f"{MOST_ROWS:,}"
                )
                raise refused_file("file-rows", sentence)
    if not rows:
        raise refused_file("file-empty", phrase("The file has no row under its headings."))
    return Table(tuple(rows), tuple(troubles))


def _folded(heading: str) -> str:
    return "_".join(
        heading.strip().strip('"').lower().lstrip("\ufeff").replace("-", " ").replace("_", " ").split()
    )


def _heading_troubles(
    names: list[str], typed: list[str], headings: Sequence[Heading], number: int
) -> Iterator[Trouble]:
    known = {one.name for one in headings}
    for name, text in zip(names, typed, strict=True):
        if name and name not in known:
            yield Trouble(
                number,
                name[:40],
                shown(text),
                phrase("No column has this heading. Take it from the template."),
            )
    for name in sorted({one for one in names if one and names.count(one) > 1}):
        yield Trouble(number, name, name, phrase("This heading stands over two columns. Leave one."))
    for one in headings:
        if one.needed and one.name not in names:
            yield Trouble(
                number, one.name, "", phrase("This column is missing. Take its heading from the template.")
            )


def _stray(number: int, names: list[str], cells: list[str]) -> Iterator[Trouble]:
    for place, cell in enumerate(cells):
        if cell and (place >= len(names) or not names[place]):
            yield Trouble(
                number,
                f"{place + 1}",
                shown(cell),
                phrase("No heading stands over this cell. Empty it, or name it."),
            )


def shown(text: str) -> str:
    """A cell as it is said again: no longer than a line, without signs that steer a screen."""
    clean = CONTROL.sub("\ufffd", text)
    return clean if len(clean) <= LONGEST_SHOWN else clean[:LONGEST_SHOWN] + "…"


@dataclass(slots=True)
class Cells:
    """One row being read: each question answers with a value, or with None and a trouble."""

    number: int
    cells: dict[str, str]
    troubles: list[Trouble] = field(default_factory=list)

    def trouble(self, column: str, message: str) -> None:
        self.troubles.append(Trouble(self.number, column, shown(self.cells.get(column, "")), message))

    def text(self, column: str, most: int, *, needed: bool = False) -> str:
        """One line of text; "" for an empty cell."""
        cell = self.cells.get(column, "")
        if isinstance(cell, Formula):
            self.trouble(column, phrase("A formula or an error stands here. Type the value itself."))
            return ""
        if needed and not cell:
            self.trouble(column, phrase("This cell is empty and has to be filled."))
        elif len(cell) > most:
            self.trouble(column, phrase("This is longer than {most} characters.", most=most))
        elif CONTROL.search(cell) or "\n" in cell or "\r" in cell:
            self.trouble(column, phrase("This cell holds a sign that cannot be printed, or a second line."))
        else:
            return cell
        return ""

    def day(self, column: str, *, needed: bool = False) -> date | None:
        """A day as year-month-day."""
        typed = self.text(column, 40, needed=needed)
        if not typed:
            return None
        try:
            if ISO.fullmatch(typed):
                return date.fromisoformat(typed)
        except ValueError:
            pass
        self.trouble(column, phrase("Type the day as year-month-day, for example 2026-04-02."))
        return None

    def whole(self, column: str, least: int, most: int) -> int | None:
        """A whole number that has to be there."""
        typed = self.text(column, 40, needed=True)
        if not typed:
            return None
        number = int(typed) if WHOLE.fullmatch(typed) else -1
        if least <= number <= most:
            return number
        self.trouble(column, phrase("Type a whole number from {least} to {most}.", least=least, most=most))
        return None

    def one_of(self, column: str, words: Sequence[str], *, needed: bool = True) -> str:
        """One of a few words, in any case."""
        typed = self.text(column, 40, needed=needed)
        if not typed or typed.lower() in words:
            return typed.lower()
        self.trouble(column, phrase("Type one of: {words}.", words=", ".join(words)))
        return ""
