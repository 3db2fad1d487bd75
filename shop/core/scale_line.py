"""One line of text as a bench scale sends it: which weight it says, and whether it has settled.

The accepted grammar stands here and nowhere else (common practice, no source): the page's own script is given the very
same patterns. ``fixtures/scale_lines.csv`` runs against both. In words: a mark (ST or S settled, US or D still moving)
and GS, G, NT or N for gross or net may stand in front, each with a blank, comma or colon after it; then a sign, the
number with point or comma, the unit g, kg, oz or lb, and perhaps a mark at the end, where ? or ~ also means moving.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from shop.core.mass import Unit

LONGEST = 64  # characters of one line; no plain format is longer
GRAMMAR = (
    r"^(?:(?P<head>ST|S|US|D)[ ,:]+)?(?:(?P<mode>GS|G|NT|N)[ ,:]+)?"
    r"(?P<sign>[+-])? *(?P<number>[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+) *(?P<unit>kg|g|oz|lbs?)?"
    r"(?:[ ,:]+(?P<tail>ST|S|US|D)| *(?P<doubt>[?~]))?$"
)
OVER = r"(?:^|[ ,:+-])(?:OL|OVER|OVERLOAD)(?:$|[ ,:])|^[+ ]*[-_^]{3,} *(?:kg|g|oz|lbs?)?$"
TWO_WAYS = r"^[1-9][0-9]{0,2},[0-9]{3}$"  # 1,234: a thousand and some, or one and a part
LINE, TOO_MUCH, UNCLEAR = (re.compile(one, re.IGNORECASE) for one in (GRAMMAR, OVER, TWO_WAYS))


class Said(StrEnum):
    """What a line is about. ``WEIGHT`` bears no mark, so that only time tells whether it has settled."""

    SETTLED = "settled"
    WEIGHT = "weight"
    MOVING = "moving"
    NEGATIVE = "negative"
    OVERLOAD = "overload"
    NO_UNIT = "no unit"
    TWO_WAYS = "two ways"
    UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class ScaleLine:
    """``text`` is the number as a hand would type it, without sign and leading zeros; "" where there is none."""

    said: Said
    text: str = ""
    unit: Unit | None = None
    net: bool = False  # its tare key was pressed

    @property
    def is_weight(self) -> bool:
        return self.said in (Said.SETTLED, Said.WEIGHT)


def read_scale_line(line: str) -> ScaleLine:
    """What one line says; never raises, whatever came over the wire."""
    said = line.strip(" ")
    if len(said) > LONGEST:
        return ScaleLine(Said.UNREADABLE)
    found = LINE.match(said)
    if found is None:
        return ScaleLine(Said.OVERLOAD if TOO_MUCH.search(said) else Said.UNREADABLE)
    if not found["unit"]:
        return ScaleLine(Said.NO_UNIT)
    number = found["number"].lstrip("0")
    if UNCLEAR.match(number):
        return ScaleLine(Said.TWO_WAYS)
    number = number.replace(",", ".")
    text = f"0{number}" if number[:1] in ("", ".") else number
    unit = Unit(found["unit"].lower().removesuffix("s"))
    mark = (found["head"] or found["tail"] or found["doubt"] or "").upper()
    return ScaleLine(
        _said(found["sign"], text, mark), text, unit, (found["mode"] or "").upper() in ("NT", "N")
    )


def _said(sign: str | None, text: str, mark: str) -> Said:
    if sign == "-" and text.strip("0."):
        return Said.NEGATIVE
    return {"": Said.WEIGHT, "ST": Said.SETTLED, "S": Said.SETTLED}.get(mark, Said.MOVING)
