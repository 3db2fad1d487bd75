"""Photos on paper: one alone under its caption, or small ones two beside each other, each over its line of words.

A photo's JPEG bytes stay as they are, under the colour profile of the file.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reportlab.pdfbase import pdfdoc

from compliance.core.paper import Picture, Pictures
from compliance.pdf.ink import COLUMN, LEADING, RISE, SIDE, Ink, Piece, together
from compliance.pdf.typeface import REGULAR, Typecase, wrapped

ALONE = 170.0  # points high; larger than a wallet card, and two of them go on a page
TALLEST = 150.0  # of small ones
APART = 12.0
SMALL = 9.0


def picture_pieces(case: Typecase, block: Picture) -> Iterator[Piece]:
    """The caption and the photo under it, no wider than the column and no taller than a third of the page."""
    ink = Ink(case)
    ink.text(SIDE, RISE, block.caption)
    high = _drawn(ink, block, SIDE, LEADING + 2, COLUMN, ALONE)
    yield ink.piece(high + LEADING + 4)


def small_pieces(case: Typecase, block: Pictures, left: float, measure: float) -> Iterator[Piece]:
    """One piece for each pair of photos; only their words where there is no picture."""
    width = (measure - APART) / 2
    pairs = list(zip(block.lines, block.pictures or [None] * len(block.lines), strict=True))
    for place in range(0, len(pairs), 2):
        ink, low = Ink(case), 0.0
        for column, (line, picture) in enumerate(pairs[place : place + 2]):
            x = left + column * (width + APART)
            down = _drawn(ink, picture, x, 0.0, width, TALLEST) if picture is not None else 0.0
            for row, words in enumerate(wrapped(REGULAR, SMALL, line, width)):
                ink.text(x, down + RISE + row * (LEADING - 2), words, REGULAR, SMALL)
                low = max(low, down + (row + 1) * (LEADING - 2) + 8)
        yield from together([ink.piece(low)])


def _drawn(ink: Ink, picture: Picture, x: float, y: float, widest: float, tallest: float) -> float:
    """The picture from its top left corner; returns how high it is."""
    scale = min(widest / picture.width, tallest / picture.height)
    width, height = picture.width * scale, picture.height * scale
    name = _image(ink.case.document, picture)
    ink.raw(f"q {width:.2f} 0 0 {height:.2f} {x:.2f} {-(y + height):.2f} cm /{name} Do Q")
    return height


def _image(document: Any, picture: Picture) -> str:
    """Put the photo into the document once; returns the name by which a page draws it."""
    images: dict[str, Any] = document.__dict__.setdefault("pictures", {})
    name = f"Im{len(images) + 1}"
    facts = {
        "Type": pdfdoc.PDFName("XObject"),
        "Subtype": pdfdoc.PDFName("Image"),
        "Width": picture.width,
        "Height": picture.height,
        "ColorSpace": pdfdoc.PDFName("DeviceRGB"),
        "BitsPerComponent": 8,
        "Filter": pdfdoc.PDFName("DCTDecode"),
    }
    stream = pdfdoc.PDFStream(pdfdoc.PDFDictionary(facts), picture.jpeg)
    stream.__RefOnly__ = 1
    images[name] = document.Reference(stream, name)
    return name
