"""Tables: columns as wide as their text needs, heads repeated over pages, a thin rule every fifth row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from compliance.core.paper import Table
from compliance.pdf.ink import BODY, LEADING, RISE, Ink, Piece
from compliance.pdf.typeface import BOLD, REGULAR, Face, Typecase, wrapped

GUTTER = 12.0
PAD = 3.0  # above and below the text of a row, together
SHORT_HEAD = 12  # a column name of so few letters stays on one line
SMALLEST = 34.0  # a column of words is never squeezed below this


@dataclass(frozen=True, slots=True)
class Column:
    """Where a column stands. ``need`` is the width of its longest line, ``least`` of what must not break."""

    need: float
    least: float
    numeric: bool
    headed: bool
    x: float = 0.0
    width: float = 0.0


def natural_width(table: Table) -> float:
    """How wide the table would like to be, in points."""
    columns = _measured(table)
    return sum(column.need for column in columns) + GUTTER * (len(columns) - 1)


def table_pieces(case: Typecase, table: Table, left: float, width: float) -> list[Piece]:
    """The head and one piece a row, to be stacked from ``left``; a short table stays in one piece by ``keep``."""
    columns = _placed(_measured(table), left, width)
    head = _row(case, columns, table.columns, BOLD, hang=True)
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
        elif last > 11 and min(table.strong, default=last) == last and place % 5 == 4 and place < last:
            ink.rule(left, row.height, left + width, 0.35)
        keep = place < last and (place == 0 or place + 1 == last or place + 1 in table.strong)
        pieces.append(ink.piece(row.height, keep=keep, head=head))
    if table.notes:
        _close(case, pieces[-1], left, width)
    return pieces


def _close(case: Typecase, last: Piece, left: float, width: float) -> None:
    """A rule under a table, where text follows."""
    ink = Ink(case)
    ink.rule(left, last.height + 1, left + width)
    last.operators = f"{last.operators}\n{ink.operators[0]}"
    last.height += 2


def _row(
    case: Typecase, columns: Sequence[Column], cells: Sequence[str], face: Face, *, hang: bool = False
) -> Piece:
    """Cells side by side; the names of columns hang on the rule below them, other cells from the top."""
    ink = Ink(case)
    texts = [
        wrapped(face, BODY, cell, column.width) if cell else []
        for column, cell in zip(columns, cells, strict=True)
    ]
    tallest = max(1, *map(len, texts))
    for column, lines in zip(columns, texts, strict=True):
        down = tallest - len(lines) if hang else 0
        for number, line in enumerate(lines):
            y = PAD / 2 + RISE + (number + down) * LEADING
            if column.numeric:
                ink.right(column.x + column.width, y, line, face)
            else:
                ink.text(column.x, y, line, face)
    return ink.piece(tallest * LEADING + PAD)


def _measured(table: Table) -> list[Column]:
    return [
        _column(
            table.columns[place].split(),
            [(row[place], BOLD if at in table.strong else REGULAR) for at, row in enumerate(table.rows)],
            place in table.numeric,
        )
        for place in range(len(table.columns))
    ]


def _column(head: Sequence[str], cells: Sequence[tuple[str, Face]], numeric: bool) -> Column:
    longest_head = _head_width(head)
    need = max((face.width(line, BODY) for cell, face in cells for line in cell.split("\n")), default=0.0)
    need = max(need, longest_head)
    if numeric:
        return Column(need, need, True, bool(head))
    least = max((face.width(word, BODY) for cell, face in cells for word in cell.split()), default=0.0)
    return Column(need, min(need, max(least, longest_head, SMALLEST)), False, bool(head))


def _head_width(words: Sequence[str]) -> float:
    """The least width at which a column name takes one line when it is short, or else two."""
    whole = " ".join(words)
    if len(whole) <= SHORT_HEAD or len(words) == 1:
        return BOLD.width(whole, BODY)
    halves = ((" ".join(words[:cut]), " ".join(words[cut:])) for cut in range(1, len(words)))
    return min(max(BOLD.width(half, BODY) for half in both) for both in halves)


def _placed(columns: Sequence[Column], left: float, width: float) -> list[Column]:
    """Share out the width: what is missing is taken from the widest columns of words, what is left over is spread."""
    room = width - GUTTER * (len(columns) - 1)
    widths = [column.need for column in columns]
    spare = room - sum(widths)
    if spare < 0:
        widths = _squeezed(columns, room)
    else:
        widths = [wide + spare * part for wide, part in zip(widths, _shares(columns), strict=True)]
    placed, x = [], left
    for column, wide in zip(columns, widths, strict=True):
        placed.append(replace(column, x=x, width=wide))
        x += wide + GUTTER
    return placed


def _shares(columns: Sequence[Column]) -> list[float]:
    """Who gets the spare width: the names of a table of sums, with the remarks beside its figures; else everyone."""
    others = [place for place, column in enumerate(columns) if place and not column.numeric]
    if any(not columns[place].headed for place in others) or not others:
        takers = [0, *others]
        return [1 / len(takers) if place in takers else 0.0 for place in range(len(columns))]
    return [1 / len(columns)] * len(columns)


def _squeezed(columns: Sequence[Column], room: float) -> list[float]:
    """No column wider than a common limit, none narrower than its longest word, unless there is no other way.

    The names of a table with remarks beside its figures may be wider than the remarks.
    """
    first = 1.7 if not all(column.headed for column in columns) else 1.0
    parts = [first, *[1.0] * (len(columns) - 1)]

    def within(limit: float) -> list[float]:
        pairs = zip(columns, parts, strict=True)
        return [min(column.need, max(column.least, limit * part)) for column, part in pairs]

    low, high = 0.0, room
    for _ in range(24):
        limit = (low + high) / 2
        if sum(within(limit)) > room:
            high = limit
        else:
            low = limit
    widths = within(low)
    scale = min(1.0, room / sum(widths))
    return [wide * scale for wide in widths]
