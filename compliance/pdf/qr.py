"""QR codes: the modules from ReportLab's encoder, drawn as runs of dark modules.

The mask is fixed. ISO/IEC 18004 lets a writer choose the prettiest of eight, which takes most of the time; every
reader undoes any of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import groupby
from typing import Any

from reportlab.graphics.barcode.qrencoder import QRCode, QRErrorCorrectLevel, QRMaskPattern

QUIET = 4  # the light margin that the standard asks for, in modules


@lru_cache(maxsize=64)
def qr_runs(text: str) -> tuple[int, tuple[tuple[int, int, int], ...]]:
    """The modules on a side, and each run of dark ones as (row, column, length), from the top left corner."""
    code: Any = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(text)
    code.version = code.calculate_version()
    code.makeImpl(False, QRMaskPattern.PATTERN011)
    return code.moduleCount, tuple(_runs(code.modules))


def qr_svg_path(text: str) -> str:
    """The ``d`` of an SVG path, one unit a module; ``qr_svg_box`` is the view box it belongs in."""
    return "".join(f"M{column} {row}h{length}v1h-{length}z" for row, column, length in qr_runs(text)[1])


def qr_svg_box(text: str) -> str:
    """The view box of ``qr_svg_path``, with the light margin around it."""
    side = qr_runs(text)[0] + 2 * QUIET
    return f"{-QUIET} {-QUIET} {side} {side}"


def _runs(modules: list[list[bool]]) -> Iterator[tuple[int, int, int]]:
    for row, line in enumerate(modules):
        column = 0
        for dark, run in groupby(line):
            length = len(list(run))
            if dark:
                yield row, column, length
            column += length
