"""QR codes: the modules from ReportLab's encoder, drawn as runs of dark modules.

The mask is fixed. ISO/IEC 18004 lets a writer choose the prettiest of eight, which takes most of the time; every
reader undoes any of them. What does not depend on the text (finders, timing, mask, where the bits go) is made once
for each size of code.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache, lru_cache
from itertools import groupby
from typing import Any

from reportlab.graphics.barcode.qrencoder import QRCode, QRErrorCorrectLevel, QRMaskPattern, QRUtil

LEVEL = QRErrorCorrectLevel.M
MASK = QRMaskPattern.PATTERN011
QUIET = 4  # the light margin that the standard asks for, in modules

# The divisor of the error correction depends on its length only; ReportLab multiplies it out for every code.
QRUtil.getErrorCorrectPolynomial = staticmethod(cache(QRUtil.getErrorCorrectPolynomial))


@lru_cache(maxsize=64)
def qr_runs(text: str) -> tuple[int, tuple[tuple[int, int, int], ...]]:
    """The modules on a side, and each run of dark ones as (row, column, length), from the top left corner."""
    code: Any = QRCode(None, LEVEL)
    code.addData(text)
    version = code.calculate_version()
    blank, places = _blank(version)
    modules = [list(row) for row in blank]
    data: list[int] = QRCode.createData(version, LEVEL, code.dataList)
    bits = "".join([f"{byte:08b}" for byte in data])
    for (column, row), bit in zip(places, bits, strict=False):
        if bit == "1":
            modules[row][column] = not modules[row][column]
    return len(modules), tuple(_runs(modules))


def qr_svg_path(text: str) -> str:
    """The ``d`` of an SVG path, one unit a module; ``qr_svg_box`` is the view box it belongs in."""
    return "".join(f"M{column} {row}h{length}v1h-{length}z" for row, column, length in qr_runs(text)[1])


def qr_svg_box(text: str) -> str:
    """The view box of ``qr_svg_path``, with the light margin around it."""
    side = qr_runs(text)[0] + 2 * QUIET
    return f"{-QUIET} {-QUIET} {side} {side}"


@cache
def _blank(version: int) -> tuple[list[list[bool]], list[tuple[int, int]]]:
    """A code of one size with every data bit 0, and where its data bits stand as (column, row), in order."""
    code: Any = QRCode(version, LEVEL)
    code.dataCache = []
    code.makeImpl(False, MASK)
    return code.modules, list(code.dataPosIterator())


def _runs(modules: list[list[bool]]) -> Iterator[tuple[int, int, int]]:
    for row, line in enumerate(modules):
        column = 0
        for dark, run in groupby(line):
            length = len(list(run))
            if dark:
                yield row, column, length
            column += length
