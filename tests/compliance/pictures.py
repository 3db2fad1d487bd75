"""Pictures for the tests, drawn here: no camera was in any place that their GPS marks name."""

from __future__ import annotations

import io
from typing import Any

from PIL import Image, ImageDraw

RED, BLUE, WHITE = (200, 30, 20), (20, 40, 200), (255, 255, 255)
ORIENTATION, MAKER, GPS = 0x0112, 0x010F, 0x8825


def picture_of(words: str, size: tuple[int, int] = (640, 480), **how: Any) -> bytes:
    """A sheet with words on it, as a JPEG."""
    sheet = Image.new("RGB", size, WHITE)
    ImageDraw.Draw(sheet).text((20, 20), words, fill="black")
    return encoded(sheet, **how)


def halves(size: tuple[int, int] = (400, 200)) -> Image.Image:
    """Red on the left, blue on the right."""
    sheet = Image.new("RGB", size, RED)
    sheet.paste(BLUE, (size[0] // 2, 0, *size))
    return sheet


def encoded(picture: Image.Image, kind: str = "JPEG", **how: Any) -> bytes:
    file = io.BytesIO()
    picture.save(file, kind, **how)
    return file.getvalue()


def marks(orientation: int = 1) -> Image.Exif:
    """What a phone writes into a photo: which way is up, who made it, and where it was."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[MAKER] = "Sample Camera Works"
    exif.get_ifd(GPS).update({1: "N", 2: (39.0, 44.0, 21.0), 3: "W", 4: (104.0, 59.0, 5.0)})
    return exif


def opened(jpeg: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(jpeg))
    picture.load()
    return picture


def segments(jpeg: bytes) -> set[int]:
    """The markers of a JPEG's segments, up to the picture itself."""
    found, at = set(), 2
    while jpeg[at] == 0xFF and jpeg[at + 1] != 0xDA:
        found.add(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return found
