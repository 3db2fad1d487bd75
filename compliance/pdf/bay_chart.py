"""The bay's saturation chart on one Letter sheet, in type that reads from a step away."""

from __future__ import annotations

from collections.abc import Sequence

from compliance.core.bay_chart import BayChart, Half, as_file
from compliance.pdf.archive import HEIGHT, WIDTH, Archive
from compliance.pdf.ink import Ink
from compliance.pdf.typeface import BOLD, REGULAR, Face, Typecase, wrapped

EDGE = 36.0
LEFT = (EDGE, 262.0)  # where a half begins, and how wide it is
RIGHT = (EDGE + 262.0 + 24.0, WIDTH - 2 * EDGE - 262.0 - 24.0)
PITCH = 19.0  # from row to row
NUMBER = 16.0  # cap height 4 mm: read from a metre
DEGREES = 46.0  # the width of the column of temperatures
BAND = 0.92  # grey behind every other row


def draw_bay_chart(sheet: BayChart, language: str = "en") -> bytes:
    """PDF/A-1b on US Letter; the same sheet gives the same bytes."""
    archive = Archive(as_file(sheet, language))
    case = Typecase(archive.document, as_file(sheet, language).frame)
    ink = Ink(case)
    y = _head(ink, sheet)
    fahrenheit, celsius = sheet.halves
    low = _half(ink, fahrenheit, sheet.columns, LEFT, y)
    beside = _half(ink, celsius, sheet.columns, RIGHT, y)
    _box(ink, sheet, beside + 16, low)
    _foot(ink, sheet, low + 12)
    archive.add_page(f"q 1 0 0 1 0 {HEIGHT:g} cm\n" + "\n".join(ink.operators) + "\nQ", [])
    return archive.bytes()


def _head(ink: Ink, sheet: BayChart) -> float:
    """Title, shop and air; returns where the tables begin."""
    ink.text(EDGE - 1, 62, sheet.title, BOLD, 30)
    ink.right(WIDTH - EDGE, 50, sheet.shop, BOLD, 12)
    ink.right(WIDTH - EDGE, 65, sheet.air, BOLD, 12)
    y = _lines(ink, EDGE, 82, wrapped(REGULAR, 13, sheet.use, WIDTH - 2 * EDGE), REGULAR, 13, 16)
    ink.rule(EDGE, y - 6, WIDTH - EDGE, 1.6, 0)
    return y + 2


def _half(
    ink: Ink, half: Half, columns: Sequence[tuple[str, str]], place: tuple[float, float], y: float
) -> float:
    """One table under its heads; returns where it ends."""
    left, width = place
    column = (width - DEGREES) / len(columns)
    edges = [left + DEGREES + column * (number + 1) - 8 for number in range(len(columns))]
    ink.text(left, y + 12, half.gauge, BOLD, 12)
    ink.right(left + DEGREES - 8, y + 31, half.degrees, BOLD, 14)
    for edge, (gas, burns) in zip(edges, columns, strict=True):
        ink.right(edge, y + 31, gas, BOLD, 12)
        if burns:
            ink.right(edge, y + 42, burns, BOLD, 9)
    top = y + 48
    ink.rule(left, top, left + width, 1.0, 0)
    for number, row in enumerate(half.rows):
        base = top + PITCH * number
        if number % 2:
            ink.raw(f"{BAND:g} g {left:g} {-(base + PITCH):g} {width:g} {PITCH:g} re f 0 g")
        ink.right(left + DEGREES - 8, base + 14.5, row[0], BOLD, NUMBER)
        for edge, cell in zip(edges, row[1:], strict=True):
            ink.right(edge, base + 14.5, cell, REGULAR, NUMBER)
    low = top + PITCH * len(half.rows)
    ink.rule(left, low, left + width, 1.0, 0)
    return low


def _box(ink: Ink, sheet: BayChart, top: float, low: float) -> None:
    """The warning in a heavy frame, in what the shorter table leaves free, and how to measure below it."""
    left, width = RIGHT
    lines = wrapped(BOLD, 14, sheet.warning, width - 24)
    end = _lines(ink, left + 12, top + 20, lines, BOLD, 14, 17.5)
    ink.raw(f"0 G 2.4 w {left + 1.2:g} {-(end - 8):g} {width - 2.4:g} {end - 8 - top:g} re S")
    y = end + 10
    for note in sheet.notes:
        y = _lines(ink, left, y, wrapped(REGULAR, 12, note, width), REGULAR, 12, 15) + 3


def _foot(ink: Ink, sheet: BayChart, y: float) -> None:
    for text in sheet.cautions:
        ink.text(EDGE, y + 9, "▲", REGULAR, 10)
        y = (
            _lines(
                ink, EDGE + 15, y + 9, wrapped(REGULAR, 10.5, text, WIDTH - 2 * EDGE - 15), REGULAR, 10.5, 13
            )
            - 8
        )
    ink.text(EDGE, HEIGHT - 26, sheet.made, REGULAR, 9)


def _lines(
    ink: Ink, x: float, y: float, lines: Sequence[str], face: Face, size: float, leading: float
) -> float:
    """Lines from this baseline down; returns the next baseline."""
    for line in lines:
        ink.text(x, y, line, face, size)
        y += leading
    return y
