"""Tables: columns as wide as their text needs, heads repeated over pages, a thin rule every fifth row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from compliance.core.paper import Table
from compliance.pdf.ink import LEADING, RISE, Ink, Piece
from compliance.pdf.typeface import BOLD, REGULAR, Face, Typecase, wrapped

GUTTER = 12.0
PAD = 4.5  # above and below the text of a row, together
SMALLEST = 34.0  # a column of words is never squeezed below this


@dataclass(frozen=True, slots=True)
class Column:
    """Where a column stands. ``need`` is the width of its longest line, ``least`` of what must not break."""

    need: float
    least: float
    numeric: bool
    x: float = 0.0
    width: float = 0.0


def natural_width(table: Table) -> float:
    """How wide the table would like to be, in points."""
    columns = _measured(table)
    return sum(column.need for column in columns) + GUTTER * (len(columns) - 1)


def table_pieces(case: Typecase, table: Table, left: float, width: float) -> list[Piece]:
    """The head and one piece a row, to be stacked from ``left``; a short table stays in one piece by ``keep``."""
    columns = _placed(_measured(table), left, width)
    head = _row(case, columns, table.columns, BOLD)
    head_ink = Ink(case)
    head_ink.raw(head.operators)
    head_ink.rule(left, head.height, left + width, 0.9, 0)
    head = head_ink.piece(head.height + 2, keep=True)
    pieces, last = [head], len(table.rows) - 1
    for place, cells in enumerate(table.rows):
        strong = place in table.strong
        row = _row(case, columns, cells, BOLD if strong else REGULAR)
        ink = Ink(case)
        ink.raw(row.operators)
        if strong and place:
            ink.rule(left, 0, left + width)
        elif last > 11 and place % 5 == 4 and place < last:
            ink.rule(left, row.height, left + width, 0.35)
        keep = place < last and (place == 0 or place + 1 == last or place + 1 in table.strong)
        pieces.append(ink.piece(row.height, keep=keep, head=head))
    return [*pieces[:-1], _closed(case, pieces[-1], left, width)]


def _closed(case: Typecase, last: Piece, left: float, width: float) -> Piece:
    ink = Ink(case)
    ink.raw(last.operators)
    ink.rule(left, last.height + 1, left + width)
    return replace(last, operators="\n".join(ink.operators), height=last.height + 2)


def _row(case: Typecase, columns: Sequence[Column], cells: Sequence[str], face: Face) -> Piece:
    ink, tallest = Ink(case), 1
    for column, cell in zip(columns, cells, strict=True):
        lines = wrapped(face, 10.5, cell, column.width) if cell else []
        tallest = max(tallest, len(lines))
        for number, line in enumerate(lines):
            y = PAD / 2 + RISE + number * LEADING
            if column.numeric:
                ink.right(column.x + column.width, y, line, face)
            else:
                ink.text(column.x, y, line, face)
    return ink.piece(tallest * LEADING + PAD)


def _measured(table: Table) -> list[Column]:
    return [
        _column(
            [name for name in table.columns[place].split()],
            [(row[place], BOLD if at in table.strong else REGULAR) for at, row in enumerate(table.rows)],
            place in table.numeric,
        )
        for place in range(len(table.columns))
    ]


def _column(head: Sequence[str], cells: Sequence[tuple[str, Face]], numeric: bool) -> Column:
    longest_head = max((BOLD.width(word, 10.5) for word in head), default=0.0)
    need = max((face.width(line, 10.5) for cell, face in cells for line in cell.split("\n")), default=0.0)
    need = max(need, longest_head)
    if numeric:
        return Column(need, need, True)
    least = max((face.width(word, 10.5) for cell, face in cells for word in cell.split()), default=0.0)
    return Column(need, min(need, max(least, longest_head, SMALLEST)), False)


def _placed(columns: Sequence[Column], left: float, width: float) -> list[Column]:
    """Share out the width: what is missing is taken from the columns of words, what is left over is spread."""
    room = width - GUTTER * (len(columns) - 1)
    widths = [column.need for column in columns]
    spare = room - sum(widths)
    if spare < 0:
        give = [column.need - column.least for column in columns]
        part = min(1.0, -spare / sum(give)) if sum(give) else 0.0
        widths = [wide - part * most for wide, most in zip(widths, give, strict=True)]
        scale = min(1.0, room / sum(widths))
        widths = [wide * scale for wide in widths]
    elif sum(column.numeric for column in columns) == len(columns) - 1:
        widths[0] += spare
    else:
        widths = [wide + spare / len(widths) for wide in widths]
    placed, x = [], left
    for column, wide in zip(columns, widths, strict=True):
        placed.append(replace(column, x=x, width=wide))
        x += wide + GUTTER
    return placed
