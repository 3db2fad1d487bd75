"""Pieces: small drawings with a height, of which pages are stacked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compliance.core.paper import Tab
from compliance.pdf.typeface import REGULAR, Face, Typecase, wrapped

MARGIN = 50.4
MEASURE = 612.0 - 2 * MARGIN  # the width of everything between the margins
SIDE = 122.0  # where the wide column starts; headings stand to the left of it
COLUMN = MEASURE - SIDE
BODY, LEADING = 10.5, 14.0
RISE = 10.2  # from the top of a line to its baseline
GRAY = 0.45  # of rules; text is always black, since a laser printer breaks grey type into dots


@dataclass(slots=True)
class Piece:
    """Operators drawn down from a top left corner. ``keep``: never the last on its page. ``head``: drawn again
    above this piece when it comes first on a new page. ``gap``: parts two sections, dropped at the top of a page.
    ``tab``: begins a page. ``leads_to``: the key of the tab that a click leads to."""

    height: float
    operators: str = ""
    keep: bool = False
    head: Piece | None = None
    gap: bool = False
    tab: Tab | None = None
    leads_to: str = ""


class Ink:
    """Collects the operators of one piece. (0, 0) is its top left corner, x runs right and y runs down."""

    def __init__(self, case: Typecase) -> None:
        self.case = case
        self.operators: list[str] = []

    def text(self, x: float, y: float, text: str, face: Face = REGULAR, size: float = BODY) -> None:
        """One line of text; y is its baseline."""
        self.operators.append(f"BT {x:.2f} {-y:.2f} Td {self.case.show(face, size, text)} ET")

    def right(self, x: float, y: float, text: str, face: Face = REGULAR, size: float = BODY) -> None:
        """One line of text that ends at x."""
        self.text(x - face.width(text, size), y, text, face, size)

    def rule(self, x1: float, y: float, x2: float, thick: float = 0.5, gray: float = GRAY) -> None:
        self.operators.append(f"{gray:g} G {thick:g} w {x1:.2f} {-y:.2f} m {x2:.2f} {-y:.2f} l S")

    def box(self, x: float, y: float, width: float, height: float, *, solid: bool) -> None:
        """A bar from its top left corner: filled, or an outline that a printer without colour tells from it."""
        paint = "0.25 g" if solid else "0.25 G 0.9 w"
        self.operators.append(
            f"{paint} {x:.2f} {-y - height:.2f} {width:.2f} {height:.2f} re {'f' if solid else 'S'} 0 g"
        )

    def raw(self, operators: str) -> None:
        """PDF operators in the coordinates of the piece, y up."""
        self.operators.append(operators)

    def piece(self, height: float, *, keep: bool = False, head: Piece | None = None) -> Piece:
        return Piece(height, "\n".join(self.operators), keep, head)


def paragraph(
    case: Typecase,
    text: str,
    x: float,
    width: float,
    face: Face = REGULAR,
    size: float = BODY,
    leading: float = LEADING,
) -> list[Piece]:
    """Text as one piece a line; the first two lines stay together, and the last two."""
    lines = wrapped(face, size, text, width)
    pieces = []
    for place, line in enumerate(lines):
        ink = Ink(case)
        ink.text(x, RISE * size / BODY + (leading - LEADING * size / BODY) / 2, line, face, size)
        pieces.append(ink.piece(leading, keep=place == 0 < len(lines) - 1 or place == len(lines) - 2))
    return pieces


def gap(height: float) -> Piece:
    return Piece(height, gap=True)


def together(pieces: Sequence[Piece], most: float = 190.0) -> list[Piece]:
    """Keep a short run of pieces on one page."""
    if sum(piece.height for piece in pieces) > most:
        return list(pieces)
    for piece in pieces[:-1]:
        piece.keep = True
    return list(pieces)


def over(first: Piece, second: Piece) -> Piece:
    """The second piece with the first drawn over it."""
    second.operators = f"{first.operators}\n{second.operators}"
    return second
