"""Photos on paper: small, two beside each other, each over its line of words."""

from __future__ import annotations

import base64
from collections.abc import Iterator

from compliance.core.paper import Picture, Pictures
from compliance.pdf.ink import LEADING, RISE, Ink, Piece, together
from compliance.pdf.typeface import REGULAR, Typecase, wrapped

APART = 12.0
TALLEST = 150.0  # points
SMALL = 9.0


def picture_pieces(case: Typecase, block: Pictures, left: float, measure: float) -> Iterator[Piece]:
    """One piece for each pair of photos; only their words where there is no picture."""
    width = (measure - APART) / 2
    pairs = list(zip(block.lines, block.pictures or [None] * len(block.lines), strict=True))
    for place in range(0, len(pairs), 2):
        ink, low = Ink(case), 0.0
        for column, (line, picture) in enumerate(pairs[place : place + 2]):
            x = left + column * (width + APART)
            down = _drawn(ink, picture, x, width) if picture is not None else 0.0
            for row, words in enumerate(wrapped(REGULAR, SMALL, line, width)):
                ink.text(x, down + RISE + row * (LEADING - 2), words, REGULAR, SMALL)
                low = max(low, down + (row + 1) * (LEADING - 2) + 8)
        yield from together([ink.piece(low)])


def _drawn(ink: Ink, picture: Picture, x: float, width: float) -> float:
    """The picture from the top of the piece, as an inline image in plain letters; returns where it ends."""
    scale = min(width / picture.width, TALLEST / picture.height)
    wide, high = picture.width * scale, picture.height * scale
    letters = base64.a85encode(picture.jpeg).decode("ascii")
    ink.raw(
        f"q {wide:.2f} 0 0 {high:.2f} {x:.2f} {-high:.2f} cm\n"
        f"BI /W {picture.width} /H {picture.height} /CS /RGB /BPC 8 /F [/A85 /DCT] ID\n{letters}~>\nEI\nQ"
    )
    return high
