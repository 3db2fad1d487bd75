"""The shop's own lists as sheets, and any sheet as an XLSX workbook."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import IO, Any
from zoneinfo import ZoneInfo

from shop.core.sheet import Sheet, Value, columns, plain, weighed
from shop.models import Establishment
from shop.queries import equipment, people

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MOST_ROWS = 1_000_000  # of one worksheet; the format ends at 1,048,576
MOST_SIGNS = 32_767  # of one cell


def clock(establishment: Establishment, instant: datetime) -> datetime:
    """An instant on the shop's own clock, with its offset."""
    return instant.astimezone(ZoneInfo(establishment.time_zone))


def write_xlsx(sheet: Sheet, file: IO[bytes]) -> None:
    """Write a workbook of one sheet, more worksheets when it is longer than one can be. Text stays text: a cell that
    begins with "=" is no formula."""
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

    book = Workbook(write_only=True)

    def cell(page: Any, value: Value) -> Any:
        out = plain(value)
        if isinstance(out, str):
            text = WriteOnlyCell(page, ILLEGAL_CHARACTERS_RE.sub("\ufffd", out)[:MOST_SIGNS])
            text.data_type = "s"
            return text
        return out if isinstance(out, Decimal | int) else None

    page: Any = None
    for number, row in enumerate(sheet.rows):
        if number % MOST_ROWS == 0:
            page = _page(book, sheet, number // MOST_ROWS)
        page.append([cell(page, value) for value in row])
    if page is None:
        _page(book, sheet, 0)
    book.save(file)
    book.close()


def _page(book: Any, sheet: Sheet, number: int) -> Any:
    page = book.create_sheet(sheet.name[:28] + (f" {number + 1}" if number else ""))
    page.freeze_panes = "A2"
    page.append([column.name for column in sheet.columns])
    return page


def people_sheet(establishment: Establishment) -> Sheet:
    """People and their 609 cards; somebody without a card has one row."""
    return Sheet(
        "people",
        "Everybody of the shop, leavers too, one row for each 609 card.",
        columns(
            ("name", "the person"),
            ("role", "front office, technician or owner"),
            ("may_sign_on", "yes or no"),
            ("card_program", "who issued the 609 card"),
            ("card_number", "its number"),
            ("card_issued_on", "its day; a 609 card carries no last day"),
            ("name_on_card", "as printed on it"),
            ("translator_assisted", "yes when it says so"),
            ("copy_on_file", "yes when a readable photo or PDF of it is on file"),
            ("copy_due", "the owner has seen it; a copy was to follow by this day and is not in"),
            ("authorised", "first day to last day of each stretch of A/C work here; an open end runs on"),
        ),
        _people(establishment),
    )


def _people(establishment: Establishment) -> Iterator[tuple[Value, ...]]:
    for person in people(establishment):
        stretches = [
            f"{one.first_day} to {one.end.last_day if hasattr(one, 'end') else ''}".strip()
            for one in person.authorisations.all()
        ]
        who = (person.name, person.role, person.is_active)
        none: tuple[Value, ...] = (None,) * 7
        cards: list[tuple[Value, ...]] = [
            (
                *(one.program, one.number, one.issued_on, one.name_on_card),
                *(one.translator_assisted, one.pictured, one.copy_due),
            )
            for one in person.cards.all()
        ]
        for card in cards or [none]:
            yield (*who, *card, "; ".join(stretches))


def equipment_sheet(establishment: Establishment) -> Sheet:
    """Equipment as transcribed from its plates."""
    return Sheet(
        "equipment",
        "Machines, scales, pumps, detectors and gauges, in service or not.",
        (
            *columns(
                ("code", "what the shop calls it"),
                ("kind", "machine, scale, pump, detector or gauge"),
                ("maker", "as on the plate"),
                ("model", "as on the plate"),
                ("serial", "as on the plate"),
                ("made", "date of manufacture, as on the plate"),
                ("in_service_on", "first day in service"),
                ("last_day", "last day in service; empty while in service"),
                ("does", "what a recovery machine does"),
                ("refrigerants", "named on its plate"),
                ("standard", "and testing body, as on the plate"),
            ),
            *weighed("division", "a scale's smallest step"),
        ),
        _equipment(establishment),
    )


def _equipment(establishment: Establishment) -> Iterator[tuple[Value, ...]]:
    for one in equipment(establishment):
        gone = one.retirement.last_day if hasattr(one, "retirement") else None
        plate = (one.code, one.kind, one.maker, one.model, one.serial, one.made, one.in_service_on, gone)
        step = (one.division_text, one.unit, one.division) if one.unit else (None, None, None)
        yield (*plate, one.does, one.refrigerants, one.standard, *step)


def checks_sheet(establishment: Establishment) -> Sheet:
    """Every dated check of every piece of equipment."""
    return Sheet(
        "checks",
        "Checks of equipment, oldest first for each piece.",
        columns(
            ("equipment", "its code"),
            ("kind", "what it is"),
            ("on", "day of the check"),
            ("passed", "yes or no"),
            ("against", "what it was checked with"),
            ("known_g", "the known weight, g, for a scale"),
            ("shown_g", "what the scale showed, g"),
            ("error_g", "shown less known, g"),
            ("note", "as typed"),
        ),
        (
            (one.code, one.kind, check.on, check.passed, check.against, *_masses(check), check.note)
            for one in equipment(establishment)
            for check in reversed(one.checks.all())
        ),
    )


def _masses(check: Any) -> tuple[Value, ...]:
    return (check.known, check.shown, check.error) if check.known.ug else (None, None, None)
