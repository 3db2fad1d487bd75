"""Labels drawn on stock of a size: QR at the left, the number large at the top and again at the foot."""

from __future__ import annotations

from collections.abc import Sequence

from compliance.core.labels import LabelFacts
from compliance.core.paper import Paper
from compliance.pdf.archive import Archive
from compliance.pdf.ink import Ink
from compliance.pdf.typeface import BOLD, REGULAR, Face, Typecase
from inventory.core.label_stock import Stock, places
from shop.pdf.qr import QUIET, qr_runs

EDGE = 6.0  # inside a label; printers are rarely truer than a sixteenth of an inch
DOT = 0.36  # points: 200 dots an inch, what a label printer has


def draw_labels(facts: Sequence[LabelFacts], stock: Stock, *, skip: int = 0, title: str = "Labels") -> bytes:
    """The labels as PDF, one page a sheet (or one a label for strips and tags)."""
    paper = Paper(title, "", 1, "", (), (), "", "", "")
    archive = Archive(paper)
    case = Typecase(archive.document, paper.frame)
    pages: dict[int, list[str]] = {}
    for one, (page, x, y) in zip(facts, places(stock, len(facts), skip), strict=True):
        ink = _tag(case, one, stock) if stock.label[1] > stock.label[0] else _label(case, one, stock)
        operators = "\n".join(ink.operators)
        pages.setdefault(page, []).append(f"q 1 0 0 1 {x:g} {stock.page[1] - y:g} cm\n{operators}\nQ")
    for page in range(max(pages) + 1):
        archive.add_page("\n".join(pages.get(page, [])), [], size=stock.page)
    return archive.bytes()


def _label(case: Typecase, one: LabelFacts, stock: Stock) -> Ink:
    """A label that is wider than high."""
    ink, (width, height) = Ink(case), stock.label
    side = _qr(ink, one.url, EDGE, EDGE, height - 2 * EDGE)
    x, room = EDGE + side + 4, width - side - 2 * EDGE - 4
    large = _fitting(BOLD, one.code, room, 0.3 * height)
    y = EDGE + 0.74 * large
    ink.text(x, y, one.code, BOLD, large)
    size = max(6.0, 0.1 * height)
    y += 1.7 * size
    _boxed(ink, x, y, one, size, room, head=one.head)
    foot, step, lines = 0.15 * height, 1.35 * size, one.lines
    again = f"{one.code}  reprint" if one.again else one.code
    if y + len(lines) * step <= height - EDGE - foot:
        ink.text(x, height - EDGE, again, BOLD, _fitting(BOLD, again, room, foot))
    else:  # what a cylinder has to say takes the foot's place
        short = min(lines, key=len)
        lines = tuple(f"{line}  reprint" if one.again and line is short else line for line in lines)
        y += 0.35 * size  # the box ends there
        step = min(step, (height - EDGE - y) / len(lines))
    for line in lines:
        y += step
        ink.text(x, y, line, REGULAR, _fitting(REGULAR, line, room, min(size, step / 1.15)))
    return ink


def _tag(case: Typecase, one: LabelFacts, stock: Stock) -> Ink:
    """A tag that is higher than wide, for a cylinder."""
    ink, (width, height) = Ink(case), stock.label
    room = width - 4 * EDGE
    y = 3 * EDGE + 20
    ink.text(2 * EDGE, y, one.head, BOLD, 22)
    y += 58
    ink.text(2 * EDGE, y, one.code, BOLD, _fitting(BOLD, one.code, room, 60))
    y += 34
    _boxed(ink, 2 * EDGE, y, one, 22, room)
    y += 12
    for line in one.lines:
        y += 18
        ink.text(2 * EDGE, y, line, REGULAR, _fitting(REGULAR, line, room, 13))
    side = _qr(ink, one.url, 2 * EDGE, height - 2 * EDGE - 130, 130)
    x = 2 * EDGE + side + 10
    y = height - 2 * EDGE - 118
    for line in one.foot:
        ink.text(x, y, line, REGULAR, _fitting(REGULAR, line, width - x - EDGE, 11))
        y += 15
    again = f"{one.code} reprint" if one.again else one.code
    ink.text(x, height - 3 * EDGE, again, BOLD, _fitting(BOLD, again, width - x - 2 * EDGE, 22))
    return ink


def _qr(ink: Ink, url: str, x: float, y: float, side: float) -> float:
    """A QR of about this side with half of its light margin inside; returns the side it takes.

    A module is a whole number of dots at 200 dots an inch, so that its edges fall between dots.
    """
    modules, runs = qr_runs(url)
    margin = QUIET / 2  # the edge of the label gives the rest
    dots = max(side / (modules + 2 * margin) // DOT, 2)
    module = dots * DOT
    inset = margin * module
    boxes = []
    for row, column, length in runs:
        left, low = x + inset + column * module, y + inset + (row + 1) * module
        boxes.append(f"{left:.2f} {-low:.2f} {length * module:.2f} {module:.2f} re")
    ink.raw("\n".join(["0 g", *boxes, "f"]))
    return module * (modules + 2 * margin)


def _boxed(
    ink: Ink, x: float, y: float, one: LabelFacts, size: float, room: float, *, head: str = ""
) -> None:
    """What it holds in its box, no wider than ``room``: "RECOVERED R-134a"; a flammable one says so in words."""
    name = "  ".join([*([head] if head else []), one.refrigerant, *(["FLAMMABLE"] if one.flammable else [])])
    size = _fitting(BOLD, name, room / (1 + 0.8 / BOLD.width(name, 1.0)), size)
    wide = BOLD.width(name, size) + 0.8 * size
    ink.raw(f"0 G 0.8 w {x:.2f} {-(y + 0.35 * size):.2f} {wide:.2f} {1.35 * size:.2f} re S")
    ink.text(x + 0.4 * size, y, name, BOLD, size)


def _fitting(face: Face, text: str, room: float, size: float) -> float:
    """This size, or the largest smaller one in which the text fits."""
    wide = face.width(text, 1.0) * size
    return size if wide <= room else size * room / wide
