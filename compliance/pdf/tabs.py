"""Tabs and contents: headings that begin a page, and the lines that lead there with the number of that page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compliance.core.paper import Contents, Entry, Tab
from compliance.pdf.archive import HEIGHT
from compliance.pdf.bookmarks import Box
from compliance.pdf.ink import BODY, LEADING, MARGIN, MEASURE, RISE, Ink, Piece
from compliance.pdf.page import Placed
from compliance.pdf.typeface import BOLD, REGULAR, Typecase, wrapped

ROW = 15.5
PAGES = 46.0  # the column of page numbers
FIGURES = 190.0  # what stands behind a tab, in figures
NAMES = MEASURE - PAGES - FIGURES


def tab_pieces(case: Typecase, block: Tab) -> Iterator[Piece]:
    """The heading of a tab: its mark in black, its title, and under it the part it belongs to."""
    ink = Ink(case)
    ink.raw("0 g 0 -24 26 24 re f")
    ink.raw("1 g")
    ink.text(13 - BOLD.width(block.mark, 13) / 2, 17, block.mark, BOLD, 13)
    ink.raw("0 g")
    ink.text(36, 18, block.title, BOLD, 17)
    piece = ink.piece(30, keep=True)
    piece.tab = block
    yield piece
    ink = Ink(case)
    ink.text(0, RISE, block.part)
    ink.rule(0, LEADING + 4, MEASURE, 1.4, 0)
    yield ink.piece(LEADING + 12, keep=True)


def contents_pieces(case: Typecase, block: Contents) -> Iterator[Piece]:
    ink = Ink(case)
    ink.text(0, RISE + 2, block.title, BOLD, 13)
    ink.right(MEASURE, RISE + 2, block.page, BOLD)
    ink.rule(0, LEADING + 5, MEASURE, 0.9, 0)
    yield ink.piece(LEADING + 9, keep=True)
    for one in block.entries:
        yield from _entry(case, one)


def _entry(case: Typecase, one: Entry) -> Iterator[Piece]:
    if not one.key:
        ink = Ink(case)
        ink.text(0, RISE + 5, one.words, BOLD)
        yield ink.piece(ROW + 5, keep=True)
        return
    ink = Ink(case)
    names, figures = (
        wrapped(REGULAR, BODY, text, width - 10) if text else []
        for text, width in ((one.words, NAMES), (one.figure, FIGURES))
    )
    for place in range(max(len(names), len(figures))):
        if place < len(names):
            ink.text(0, RISE + place * LEADING, names[place])
        if place < len(figures):
            ink.text(NAMES, RISE + place * LEADING, figures[place])
    piece = ink.piece(max(len(names), len(figures)) * LEADING + ROW - LEADING)
    piece.leads_to = one.key
    yield piece


def number_contents(case: Typecase, pages: Sequence[Sequence[Placed]]) -> list[Tab | None]:
    """Write the page numbers into the contents, now that they are known, and say which tab each page belongs to."""
    tabs: list[Tab | None] = []
    numbers: dict[str, int] = {}
    for number, placed in enumerate(pages, 1):
        begun = next((one.piece.tab for one in placed if one.piece.tab is not None), None)
        if begun is not None:
            numbers[begun.key] = number
        tabs.append(begun or (tabs[-1] if tabs else None))
    for piece in (one.piece for placed in pages for one in placed):
        if piece.leads_to:
            ink = Ink(case)
            ink.right(MEASURE, RISE, str(numbers[piece.leads_to]))
            piece.operators = f"{piece.operators}\n{ink.operators[0]}"
    return tabs


def inside_links(placed: Sequence[Placed]) -> list[tuple[Box, str]]:
    """The lines of a page that lead to a tab, as boxes on the paper."""
    return [
        ((MARGIN, HEIGHT - one.y - one.piece.height, MARGIN + MEASURE, HEIGHT - one.y), one.piece.leads_to)
        for one in placed
        if one.piece.leads_to
    ]
