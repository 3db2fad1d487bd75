"""How long records are kept, and when a scrapped car's system counts as emptied."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

KEEP_YEARS = 3  # 40 CFR 82.42(b)(4), read: unless otherwise indicated
DEEP_ENOUGH = {"mmHg": Decimal(102), "inHg": Decimal("4.0")}  # 82.156(d), read; 4 in from 82.156(b)(3)


def last_kept(anchor: date, years: int = KEEP_YEARS) -> date:
    """The last day on which a record has to be there; for a card the anchor is the end of the authorisation."""
    try:
        return anchor.replace(year=anchor.year + years)
    except ValueError:  # February 29 has no such day three years on
        return date(anchor.year + years, 2, 28)


def may_be_purged(anchor: date, today: date, years: int = KEEP_YEARS) -> bool:
    return today > last_kept(anchor, years)


def emptied_for_scrap(depth: Decimal, unit: str) -> bool:
    """The depth of vacuum in the unit that it was read in: 102 mm is a little more than 4 in, so none is converted."""
    return depth >= DEEP_ENOUGH[unit]
