"""One renderer for every block of every paper."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from compliance.core.paper import (
    Bars,
    Block,
    Contents,
    Note,
    Pairs,
    Paper,
    Picture,
    Pictures,
    Signature,
    Tab,
    Table,
    Ticket,
    Words,
)
from compliance.pdf.archive import Archive
from compliance.pdf.ink import (
    BODY,
    COLUMN,
    LEADING,
    MEASURE,
    RISE,
    SIDE,
    Ink,
    Piece,
    gap,
    over,
    paragraph,
    together,
)
from compliance.pdf.page import head, page_operators, stacked
from compliance.pdf.pictures import picture_pieces, small_pieces
from compliance.pdf.table import natural_width, table_pieces
from compliance.pdf.tabs import contents_pieces, inside_links, number_contents, tab_pieces
from compliance.pdf.ticket import ticket_piece
from compliance.pdf.typeface import BOLD, REGULAR, Typecase, wrapped

LABEL = 74.0  # the column of names in a list of pairs
HALF = (COLUMN - 14) / 2  # a pair that stands beside another
AFTER = 7.0  # empty space under a section


def draw(paper: Paper) -> bytes:
    """The paper as PDF/A-1b on US Letter. The same paper gives the same bytes, in every process."""
    archive = Archive(paper)
    case = Typecase(archive.document, paper.frame)
    first, links = head(case, paper)
    pieces = [first]
    for block in paper.blocks:
        pieces += pieces_of(case, block)
    for piece in pieces[-2:] if paper.foot else []:
        piece.keep = True  # the foot stays with the signature
    for line in paper.foot:
        pieces += paragraph(case, line, SIDE, COLUMN)
    pages = stacked(pieces, paper)
    tabs = number_contents(case, pages)
    for number, (placed, tab) in enumerate(zip(pages, tabs, strict=True), 1):
        archive.add_page(
            page_operators(case, paper, placed, number, len(pages), tab),
            links if number == 1 else [],
            inside=inside_links(placed),
        )
        archive.mark_tab(tab)
    return archive.bytes()


def pieces_of(case: Typecase, block: Block) -> list[Piece]:
    """The pieces of one block, with the space under it."""
    drawn: Callable[[Typecase, Any], Iterator[Piece]] = DRAWN[type(block)]
    return [*drawn(case, block), gap(AFTER)]


def _words(case: Typecase, block: Words) -> Iterator[Piece]:
    for place, text in enumerate(block.text.split("\n")):
        if place:
            yield Piece(2)
        yield from paragraph(case, text, 0, MEASURE, REGULAR, 13, 19)


def _ticket(case: Typecase, block: Ticket) -> Iterator[Piece]:
    yield ticket_piece(case, block)
    yield gap(5)


def _pairs(case: Typecase, block: Pairs) -> Iterator[Piece]:
    rows = [piece for row in _two_up(block) for piece in _pair_row(case, row)]
    yield from _section(case, block.title, _asked(case, block), rows)


def _asked(case: Typecase, block: Pairs | Table) -> str:
    asked = block.asked_by[:1].lower() + block.asked_by[1:]
    return asked if asked in ("", case.frame.optional.lower()) else f"{case.frame.asked_by}: {asked}"


def _two_up(block: Pairs) -> Iterator[tuple[tuple[str, str], ...]]:
    """Neighbours that are short enough stand side by side."""
    waiting: tuple[tuple[str, str], ...] = ()
    for name, value in block.rows:
        short = bool(name) and "\n" not in value and REGULAR.width(value, BODY) <= HALF - LABEL
        if waiting and short:
            yield (*waiting, (name, value))
            waiting = ()
        else:
            if waiting:
                yield waiting
            waiting = ((name, value),)
            if not short:
                yield waiting
                waiting = ()
    if waiting:
        yield waiting


def _pair_row(case: Typecase, row: tuple[tuple[str, str], ...]) -> list[Piece]:
    name, value = row[0]
    names = wrapped(REGULAR, BODY, name, LABEL - 8) if name else []
    x, width = (SIDE + LABEL, COLUMN - LABEL) if name else (SIDE, COLUMN)
    values = wrapped(REGULAR, BODY, value, width)
    pieces = []
    for place in range(max(len(names), len(values))):
        ink = Ink(case)
        if place < len(names):
            ink.text(SIDE, RISE, names[place])
        if place < len(values):
            ink.text(x, RISE, values[place])
        if place == 0 and len(row) > 1:
            ink.text(MEASURE - HALF, RISE, row[1][0])
            ink.text(MEASURE - HALF + LABEL, RISE, row[1][1])
        pieces.append(ink.piece(LEADING))
    pieces[-1].height += 1.5
    return together(pieces)


def _note(case: Typecase, block: Note) -> Iterator[Piece]:
    rows: list[Piece] = []
    for text in block.text.split("\n"):
        rows += [*([Piece(2)] if rows else []), *paragraph(case, text, SIDE, COLUMN)]
    yield from _section(case, block.title, "", rows)


def _signature(case: Typecase, block: Signature) -> Iterator[Piece]:
    rows = paragraph(case, block.statement, SIDE, COLUMN)
    ink = Ink(case)
    lines = wrapped(BOLD, 12, block.signed, COLUMN)
    y = 18.0
    for line in lines:
        ink.text(SIDE, y, line, BOLD, 12)
        y += 15
    ink.rule(SIDE, y - 9, MEASURE, 0.9, 0)
    yield from _section(case, case.frame.signature, "", [*rows, ink.piece(y - 4)])


def _pictures(case: Typecase, block: Pictures) -> Iterator[Piece]:
    yield from _section(case, block.title, "", list(small_pieces(case, block, SIDE, COLUMN)))


def _table(case: Typecase, block: Table) -> Iterator[Piece]:
    notes = [piece for note in block.notes for piece in [*paragraph(case, note, SIDE, COLUMN), Piece(2.5)]]
    if not block.rows:
        yield from _section(
            case, block.title, _asked(case, block), [*paragraph(case, block.empty, SIDE, COLUMN), *notes]
        )
        return
    wide = natural_width(block) > COLUMN
    left, width = (0.0, MEASURE) if wide else (SIDE, COLUMN)
    rows = table_pieces(case, block, left, width)
    if notes:
        rows[-1].keep = True
        rows += [Piece(5, keep=True), *notes]
    yield from _section(case, block.title, _asked(case, block), together(rows, 330), wide=wide)


def _bars(case: Typecase, block: Bars) -> Iterator[Piece]:
    names = max((REGULAR.width(bar.name, BODY) for bar in block.bars), default=0.0) + 10
    figures = max((REGULAR.width(bar.figure, BODY) for bar in block.bars), default=0.0) + 8
    room = COLUMN - names - figures
    again = Ink(case)
    again.text(0, RISE, block.title, BOLD, 11)
    head = again.piece(LEADING + 3)  # on a later page the months go on under their heading
    rows = []
    for bar, thousandths in block.drawn:
        ink = Ink(case)
        ink.text(SIDE, RISE, bar.name)
        long = room * thousandths / 1000
        if thousandths:
            ink.box(SIDE + names, 2.5, long, LEADING - 5, solid=bar.solid)
        ink.text(SIDE + names + long + 6, RISE, bar.figure)
        rows.append(replace(ink.piece(LEADING), head=head))
    if block.note:
        rows += [Piece(3), *paragraph(case, block.note, SIDE, COLUMN)]
    yield from _section(case, block.title, "", together(rows, 330))


def _section(
    case: Typecase, title: str, asked: str, rows: list[Piece], *, wide: bool = False
) -> Iterator[Piece]:
    """A rule across the page, the heading at its left, and the rows beside the heading or, if wide, below it."""
    if not title:
        yield from rows
        return
    ink = Ink(case)
    ink.rule(0, 0, MEASURE, 0.5)
    yield Piece(5, "\n".join(ink.operators), keep=True, gap=True)
    ink = Ink(case)
    if wide:
        ink.text(0, RISE, title, BOLD, 11)
        if asked:
            ink.right(MEASURE, RISE, asked)
        yield ink.piece(LEADING + 3, keep=True)
        yield from rows
        return
    lines = [(line, BOLD, 11.0) for line in wrapped(BOLD, 11, title, SIDE - 14)]
    lines += [(line, REGULAR, BODY) for line in (wrapped(REGULAR, BODY, asked, SIDE - 14) if asked else [])]
    for place, (line, face, size) in enumerate(lines):
        ink.text(0, RISE + place * LEADING, line, face, size)
    yield from _beside(ink.piece(len(lines) * LEADING), together(rows))


def _beside(heading: Piece, rows: list[Piece]) -> Iterator[Piece]:
    """Rows with a heading to their left; rows that the heading reaches down to stay with it."""
    down = 0.0
    for place, row in enumerate(rows):
        down += row.height
        row.keep = row.keep or (down < heading.height and place + 1 < len(rows))
        yield over(heading, row) if place == 0 else row
    if down < heading.height:
        yield Piece(heading.height - down)


DRAWN: dict[type, Callable[[Typecase, Any], Iterator[Piece]]] = {
    Words: _words,
    Ticket: _ticket,
    Pairs: _pairs,
    Note: _note,
    Pictures: _pictures,
    Signature: _signature,
    Table: _table,
    Bars: _bars,
    Picture: picture_pieces,
    Tab: tab_pieces,
    Contents: contents_pieces,
}
