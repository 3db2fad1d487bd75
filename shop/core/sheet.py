"""A list as a sheet: named columns and rows of plain values, and its text in CSV.

Masses leave as exact grams, up to six decimals, since a microgram is what the book counts in. What somebody typed
leaves as typed, in a column beside its unit.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from shop.core.mass import Mass, Unit

Value = str | int | Decimal | Mass | date | datetime | bool | None
BYTE_ORDER_MARK = "\ufeff"  # spreadsheets take a CSV for UTF-8 only when it begins with this
# A text that begins with one of these is taken for a formula; the last four are the wide forms of the first.
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")  # noqa: RUF001 - meant as they are
AT_ONCE = 200  # rows handed over together


@dataclass(frozen=True, slots=True)
class Column:
    """A column's name, which stays the same for ever, and what stands in it."""

    name: str
    about: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One list. ``rows`` may be read once only; each has a value for every column."""

    name: str
    about: str
    columns: tuple[Column, ...]
    rows: Iterable[Sequence[Value]]


def columns(*pairs: tuple[str, str]) -> tuple[Column, ...]:
    return tuple(Column(*pair) for pair in pairs)


def weighed(name: str, what: str) -> tuple[Column, ...]:
    """The three columns of a reading: as typed, its unit, and exact grams."""
    return columns(
        (f"{name}_typed", f"{what}, as typed"),
        (f"{name}_unit", "the unit it was typed in"),
        (f"{name}_g", f"{what}, g, exact"),
    )


def neutral(text: str) -> str:
    """Text that no spreadsheet takes for a formula: an apostrophe before a sign that would begin one."""
    return f"'{text}" if text.lstrip(" \u00a0").startswith(FORMULA_SIGNS) else text


def plain(value: Value) -> str | int | Decimal:
    """A value as it leaves: grams as an exact decimal, days and instants as ISO 8601, yes or no, nothing as ""."""
    if isinstance(value, Mass):
        return value.to(Unit.G).normalize() + 0 if value.ug else Decimal(0)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):  # an instant is a date too
        return value.isoformat(" ", "seconds") if isinstance(value, datetime) else value.isoformat()
    return "" if value is None else value


def dollars(cents: int | None) -> Decimal | None:
    """Whole cents as exact dollars."""
    return None if cents is None else Decimal(cents).scaleb(-2)


def csv_text(sheet: Sheet) -> Iterator[str]:
    """The sheet as RFC 4180 has it, in pieces; only text is made neutral, a negative number stays a number."""
    kept = io.StringIO()
    writer = csv.writer(kept)
    kept.write(BYTE_ORDER_MARK)
    writer.writerow([column.name for column in sheet.columns])
    for number, row in enumerate(sheet.rows, 1):
        writer.writerow([_cell(value) for value in row])
        if number % AT_ONCE == 0:
            yield kept.getvalue()
            kept.seek(0)
            kept.truncate()
    yield kept.getvalue()


def _cell(value: Value) -> str:
    out = plain(value)
    if isinstance(out, Decimal):
        return f"{out:f}"
    return neutral(out) if isinstance(value, str) and isinstance(out, str) else str(out)


def readme(sheets: Iterable[Sheet]) -> str:
    """What every column of these sheets holds."""
    parts = []
    for sheet in sheets:
        lines = [f"{column.name}: {column.about}" for column in sheet.columns]
        parts.append("\n".join([sheet.name, "-" * len(sheet.name), sheet.about, "", *lines]))
    return "\n\n".join(parts) + "\n"
