"""The weigh ticket: paper with a notched left edge and one huge number with its unit."""

from __future__ import annotations

from itertools import pairwise

from compliance.core.paper import Ticket
from compliance.pdf.ink import BODY, GRAY, LEADING, MEASURE, Ink, Piece
from compliance.pdf.typeface import BOLD, GLUE, REGULAR, Typecase, wrapped

HUGE, LARGE, WORD = 50.0, 24.0, 34.0
INSET = 20.0
NOTCH = 4.2  # the radius of a notch
PITCH = 14.0  # from notch to notch


def ticket_piece(case: Typecase, ticket: Ticket) -> Piece:
    """The whole ticket, at the full measure: captions above, the numbers on one line, the other unit below."""
    ink, x = Ink(case), _columns(ticket)
    widths = [right - left - 16 for left, right in pairwise(x)]
    captions = [
        wrapped(REGULAR, BODY, figure[0], width) for figure, width in zip(ticket.figures, widths, strict=True)
    ]
    base = 10 + LEADING * max(map(len, captions)) + HUGE * 0.78 + 4
    bottom = base
    for place, (_, number, other) in enumerate(ticket.figures):
        _lines(ink, x[place], 10 + LEADING, captions[place], BODY)
        _number(ink, number, x[place], base, widths[place], HUGE if place == 0 else LARGE)
        others = wrapped(REGULAR, 12, other, widths[place]) if other else []
        bottom = max(bottom, _lines(ink, x[place], base + 18, others, 12))
    for left in x[1:-1]:
        ink.raw(f"{GRAY:g} G 0.5 w {left - 14:g} -14 m {left - 14:g} {-bottom:g} l S")
    if ticket.line:
        ink.rule(INSET, bottom + 8, MEASURE - 14, 0.5)
        lines = wrapped(REGULAR, BODY, ticket.line, MEASURE - INSET - 14)
        bottom = _lines(ink, INSET, bottom + 8 + LEADING + 1, lines, BODY)
    height = _whole_notches(bottom + 7)
    ink.raw(_outline(height))
    return ink.piece(height)


def _lines(ink: Ink, x: float, y: float, lines: list[str], size: float) -> float:
    """Lines of text under each other; returns the baseline of the last one."""
    for place, line in enumerate(lines):
        ink.text(x, y + place * LEADING, line, REGULAR, size)
    return y + LEADING * (len(lines) - 1) if lines else 0.0


def _number(ink: Ink, number: str, x: float, y: float, width: float, size: float) -> None:
    """A number with a smaller unit, made to fit; a word in its place is set like a number."""
    value, unit = number, ""
    if number[:1] in "+−0123456789":
        value, _, unit = number.replace(GLUE, " ").rpartition(" ")
    else:
        size = min(size, WORD)
    while size > BODY and _wide(value, unit, size) > width:
        size -= 1
    ink.text(x - size * 0.05, y, value, BOLD, size)
    if unit:
        ink.text(x + BOLD.width(value, size) + size * 0.06, y, unit, BOLD, size * 0.5)


def _columns(ticket: Ticket) -> list[float]:
    """The left edges of the figures and the right edge of the ticket; the first figure gets the largest share."""
    count, room = len(ticket.figures), MEASURE - INSET - 6
    if count <= 1:
        return [INSET, INSET + room]
    first = max(room * 0.38, room / count)
    rest = (room - first) / (count - 1)
    return [INSET, *(INSET + first + place * rest for place in range(count))]


def _wide(value: str, unit: str, size: float) -> float:
    return BOLD.width(value, size) + BOLD.width(unit, size * 0.5) + size * 0.06


def _whole_notches(height: float) -> float:
    return (int((height - 8) / PITCH) + 1) * PITCH + 8


def _outline(height: float) -> str:
    """A frame whose left side is bitten by half circles, like a ticket torn from its roll."""
    path = [f"0 0 m {MEASURE:g} 0 l {MEASURE:g} {-height:g} l 0 {-height:g} l"]
    stops = [-height + 4 + PITCH / 2 + place * PITCH for place in range(int((height - 8) / PITCH))]
    for low, _ in pairwise([*stops, 0.0]):
        path.append(f"0 {low - NOTCH:g} l")
        # A half circle in two Bezier curves; 0.5523 is the usual handle length for a quarter.
        handle = NOTCH * 0.5523
        path.append(f"{handle:.3f} {low - NOTCH:g} {NOTCH:g} {low - handle:.3f} {NOTCH:g} {low:g} c")
        path.append(f"{NOTCH:g} {low + handle:.3f} {handle:.3f} {low + NOTCH:g} 0 {low + NOTCH:g} c")
    return f"0 G 1.1 w {' '.join(path)} h S"
