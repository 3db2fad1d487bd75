"""How long the full cans last, from what was really used."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from shop.core.mass import ZERO, Mass

WEEKS = 8  # how far back use is looked at
ENOUGH = 2  # weeks that the full cans should last; the shop's own habit, no source


@dataclass(frozen=True, slots=True)
class Stock:
    """Full cans of one refrigerant, and how many cans a week took."""

    refrigerant: str
    full: int
    per_week: Fraction

    @property
    def is_low(self) -> bool:
        """Whether the full cans are gone in two such weeks. A refrigerant that nobody used is never low."""
        return self.per_week > 0 and self.full <= self.per_week * ENOUGH

    @property
    def usual(self) -> str:
        """Cans a week as a person says it: "2", "1.5", "fewer than 0.1"."""
        tenths = (self.per_week * 10 + Fraction(1, 2)).__floor__()
        if tenths == 0:
            return "fewer than 0.1"
        whole, part = divmod(tenths, 10)
        return f"{whole}.{part}" if part else f"{whole}"


def cans_used(used: Iterable[tuple[Mass, Mass]], weeks: int) -> Fraction:
    """Cans a week from pairs of (mass that left cans of one kind, what such a can holds) over so many weeks."""
    cans = sum((Fraction(max(mass, ZERO).ug, net.ug) for mass, net in used), Fraction(0))
    return cans / max(1, min(weeks, WEEKS))
