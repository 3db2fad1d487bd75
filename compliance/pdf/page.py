"""Pages: the head of a paper, the lines on every page, and the stacking of pieces between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compliance.core.paper import Paper, Tab
from compliance.pdf.archive import HEIGHT, WIDTH
from compliance.pdf.ink import BODY, LEADING, MARGIN, MEASURE, Ink, Piece
from compliance.pdf.typeface import BOLD, REGULAR, Typecase, wrapped
from shop.pdf.qr import qr_runs

TOP = 42.0  # from the edge of the paper to the first piece of the first page
RUNNING = 29.0  # what the running head of a later page takes
BAND = 15.0  # how far the band across a draft or a practice paper pushes everything down
BOTTOM = 63.0  # from the last piece to the edge; the foot stands in it
FOOT = 9.0
MODULE = 2.16  # points: exactly 3 dots at 100 dots an inch, so that even a coarse scan reads the QR
DOT = 0.72


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece and the distance of its top from the top edge of the paper."""

    y: float
    piece: Piece


Box = tuple[float, float, float, float]
Links = list[tuple[Box, str]]


def stacked(pieces: Sequence[Piece], paper: Paper) -> list[list[Placed]]:
    """Deal the pieces out to pages: what is kept together moves on together, a table takes its head along."""
    band = BAND if _band(paper) else 0.0
    pages: list[list[Placed]] = [[]]
    y = TOP + band
    for place, piece in enumerate(pieces):
        full = y + _kept(pieces, place) > HEIGHT - BOTTOM and (piece.keep or not piece.gap)
        if pages[-1] and (full or piece.tab is not None):
            pages.append([])
            y = TOP + band + RUNNING
            if piece.head is not None:
                pages[-1].append(Placed(y, piece.head))
                y += piece.head.height
        if piece.gap and not pages[-1]:
            continue
        pages[-1].append(Placed(y, piece))
        y += piece.height
    return pages


def _kept(pieces: Sequence[Piece], place: int) -> float:
    """The height of a piece and of all that must stay with it; a run longer than half a page may break."""
    height = pieces[place].height
    while pieces[place].keep and place + 1 < len(pieces) and height < HEIGHT / 2:
        place += 1
        height += pieces[place].height
    return height


def page_operators(
    case: Typecase, paper: Paper, placed: Sequence[Placed], number: int, pages: int, tab: Tab | None = None
) -> str:
    """Everything on one page, in the order in which it is read."""
    parts = [_diagonal(case, paper), _top(case, paper, number, tab)]
    parts += [f"q 1 0 0 1 {MARGIN:g} {HEIGHT - one.y:g} cm\n{one.piece.operators}\nQ" for one in placed]
    parts.append(_foot(case, paper, number, pages))
    return "\n".join(part for part in parts if part)


def head(case: Typecase, paper: Paper) -> tuple[Piece, Links]:
    """The head of the first page: who made the paper, what it is, its number, and the QR that checks it."""
    ink, links = Ink(case), []
    width = MEASURE
    low = 0.0
    if paper.check_url:
        width -= _qr_side(paper.check_url) + 18
        links = [(_draw_qr(ink, paper), paper.check_url)]
        low = _qr_side(paper.check_url)
    y = _title(ink, paper, width)
    low = max(low, y) + 10
    ink.rule(0, low, MEASURE, 1.4, 0)
    y = low + 6
    if paper.replaces:
        lines = wrapped(BOLD, 11, paper.replaces, MEASURE - 14)
        ink.raw(f"0 g 0 {-(y + 2 + LEADING * len(lines)):g} 3 {LEADING * len(lines):g} re f")
        for line in lines:
            y += LEADING
            ink.text(12, y - 1, line, BOLD, 11)
        y += 8
    return ink.piece(y + 4, keep=True), links


def _title(ink: Ink, paper: Paper, width: float) -> float:
    """Shop, title and number, one under the other; returns where they end."""
    y = 10.0
    for line in wrapped(BOLD, 12, paper.shop[0], width):
        ink.text(0, y, line, BOLD, 12)
        y += 15
    for line in wrapped(REGULAR, BODY, " · ".join(paper.shop[1:]), width) if paper.shop[1:] else []:
        ink.text(0, y, line)
        y += LEADING
    size = 22.0 if BOLD.width(paper.title, 22) <= width else 17.0
    y += size * 0.75 + 2
    for line in wrapped(BOLD, size, paper.title, width):
        ink.text(-1, y, line, BOLD, size)
        y += size * 1.05
    said = " · ".join(part for part in (_named(paper), paper.dated, paper.copy) if part)
    for line in wrapped(REGULAR, 12, said, width):
        ink.text(0, y - 3, line, REGULAR, 12)
        y += 15.5
    if paper.check_url:
        for line in wrapped(
            REGULAR, BODY, f"{paper.frame.check}: {paper.check_url.partition('://')[2]}", width
        ):
            ink.text(0, y - 3, line)
            y += LEADING
    return y - LEADING


def _qr_side(url: str) -> float:
    return qr_runs(url)[0] * MODULE


def _draw_qr(ink: Ink, paper: Paper) -> tuple[float, float, float, float]:
    """Dark modules as rectangles on the grid of dots; returns the box on the page, for the link."""
    side = _qr_side(paper.check_url)
    x = _on_dots(MARGIN + MEASURE - side) - MARGIN
    top = TOP + (BAND if _band(paper) else 0.0)
    y = _on_dots(top) - top
    boxes = [f"{column} {~row} {length} 1 re" for row, column, length in qr_runs(paper.check_url)[1]]
    ink.raw(f"q {MODULE:g} 0 0 {MODULE:g} {x:.2f} {-y:.2f} cm 0 g")
    ink.raw("\n".join(boxes) + "\nf Q")
    return (MARGIN + x, HEIGHT - top - y - side, MARGIN + x + side, HEIGHT - top - y)


def _on_dots(length: float) -> float:
    return round(length / DOT) * DOT


def _band(paper: Paper) -> str:
    practice = paper.frame.practice if paper.practice else ""
    return " · ".join(part for part in (paper.state, practice) if part)


def _top(case: Typecase, paper: Paper, number: int, tab: Tab | None) -> str:
    """Band and running head; the first page has its own head. A tab stands in the head and on the edge of the page."""
    ink, top = Ink(case), 30.0
    if _band(paper):
        ink.raw(f"0 G 1.2 w {MARGIN:g} -42 {MEASURE:g} 18 re S")
        ink.text(WIDTH / 2 - BOLD.width(_band(paper), 11) / 2, 37, _band(paper), BOLD, 11)
        top += BAND
    if number > 1:
        named = f"{paper.title} · {tab.mark} {tab.title}" if tab is not None else paper.title
        ink.text(MARGIN, top + 16, named, BOLD)
        ink.right(WIDTH - MARGIN, top + 16, _named(paper))
        ink.rule(MARGIN, top + 23, WIDTH - MARGIN, 0.9, 0)
    return _from_the_top(ink)


def _foot(case: Typecase, paper: Paper, number: int, pages: int) -> str:
    """Who made the page, which paper it belongs to, and how its weights were read."""
    ink, edge = Ink(case), WIDTH - MARGIN
    print_of = f"{paper.frame.fingerprint} {paper.fingerprint}"
    left = " · ".join(part for part in (paper.shop[0], _named(paper), print_of) if part)
    right = f"{paper.frame.page} {number} {paper.frame.of} {pages}"
    ink.rule(MARGIN, HEIGHT - 58, edge, 0.5)
    lines = wrapped(REGULAR, FOOT, left, MEASURE - REGULAR.width(right, FOOT) - 18)
    lines = [*lines, *wrapped(REGULAR, FOOT, paper.made, MEASURE)]
    for place, line in enumerate(lines):
        ink.text(MARGIN, HEIGHT - 46 + 11 * place, line, REGULAR, FOOT)
        if place == 0:
            ink.right(edge, HEIGHT - 46, right, REGULAR, FOOT)
    return _from_the_top(ink)


def _named(paper: Paper) -> str:
    """Number and version; a paper that never gets a number has an empty ``no_number`` and no name here."""
    frame = paper.frame
    if not paper.number:
        return frame.no_number
    return f"{paper.number} · {frame.version} {paper.version}" if paper.version else paper.number


def _from_the_top(ink: Ink) -> str:
    return f"q 1 0 0 1 0 {HEIGHT:g} cm\n" + "\n".join(ink.operators) + "\nQ" if ink.operators else ""


def _diagonal(case: Typecase, paper: Paper) -> str:
    """One large word in thin outline behind the text of a practice paper or a draft; it prints as a line, not grey."""
    word = "PRACTICE" if paper.practice else "DRAFT" if paper.state else ""
    if not word:
        return ""
    size = 118.0 if paper.practice else 150.0
    shown = case.show(BOLD, size, word)
    back = BOLD.width(word, size) / 2
    # Turned by 52 degrees about the middle of the page: cos 0.6157, sin 0.7880.
    turn = f"0.6157 0.788 -0.788 0.6157 {WIDTH / 2:g} {HEIGHT / 2:g} cm"
    return f"q {turn} 0.72 G 0.4 w 1 Tr BT {-back:.2f} {-size * 0.33:.2f} Td {shown} ET Q"
