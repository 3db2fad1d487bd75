"""A photo on a paper: its JPEG bytes as they are, under the colour profile of the file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reportlab.pdfbase import pdfdoc

from compliance.core.paper import Picture
from compliance.pdf.ink import COLUMN, LEADING, RISE, SIDE, Ink, Piece
from compliance.pdf.typeface import Typecase

TALLEST = 170.0  # points; larger than a wallet card, and two of them go on a page


def picture_pieces(case: Typecase, block: Picture) -> Iterator[Piece]:
    """The caption and the photo under it, no wider than the column and no taller than a third of the page."""
    scale = min(COLUMN / block.width, TALLEST / block.height)
    width, height = block.width * scale, block.height * scale
    name = add_image(case.document, block)
    ink = Ink(case)
    ink.text(SIDE, RISE, block.caption)
    ink.raw(f"q {width:.2f} 0 0 {height:.2f} {SIDE:g} {-(LEADING + 2 + height):.2f} cm /{name} Do Q")
    yield ink.piece(height + LEADING + 4)


def add_image(document: Any, block: Picture) -> str:
    """Put the photo into the document once; returns the name by which a page draws it."""
    images: dict[str, Any] = document.__dict__.setdefault("pictures", {})
    name = f"Im{len(images) + 1}"
    facts = {
        "Type": pdfdoc.PDFName("XObject"),
        "Subtype": pdfdoc.PDFName("Image"),
        "Width": block.width,
        "Height": block.height,
        "ColorSpace": pdfdoc.PDFName("DeviceRGB"),
        "BitsPerComponent": 8,
        "Filter": pdfdoc.PDFName("DCTDecode"),
    }
    stream = pdfdoc.PDFStream(pdfdoc.PDFDictionary(facts), block.jpeg)
    stream.__RefOnly__ = 1
    images[name] = document.Reference(stream, name)
    return name
