"""Mass: a whole number of micrograms, beside the reading as typed and its unit.

One pound is 453.59237 g exactly (international yard and pound agreement of 1959; NIST SP 811 App. B.8), one ounce is a
sixteenth of it. A reading is converted once, in decimal arithmetic, half-even to the microgram; it is never converted
back for storage.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum


class Unit(StrEnum):
    """The units a shop scale shows. ``LB_OZ`` is pounds and ounces, typed as "1 lb 4.5 oz"."""

    G = "g"
    KG = "kg"
    OZ = "oz"
    LB = "lb"
    LB_OZ = "lb+oz"


MICROGRAMS = {
    Unit.G: Decimal(1_000_000),
    Unit.KG: Decimal(1_000_000_000),
    Unit.OZ: Decimal("28349523.125"),
    Unit.LB: Decimal(453_592_370),
}
LARGEST = Decimal(500) * MICROGRAMS[Unit.KG]  # a purchase lot; nothing in a small shop weighs more


@dataclass(frozen=True, slots=True, order=True)
class Mass:
    """A mass or a difference of masses, in whole micrograms. Exact, signed, never a float."""

    ug: int

    def __post_init__(self) -> None:
        if type(self.ug) is not int:
            raise TypeError("Mass takes whole micrograms; use Mass.of() for a decimal in a unit")

    @classmethod
    def of(cls, value: str | int | Decimal, unit: Unit = Unit.G) -> Mass:
        """A mass from an exact decimal in one unit, rounded half-even to the microgram."""
        return cls(int((Decimal(value) * MICROGRAMS[unit]).quantize(Decimal(1), ROUND_HALF_EVEN)))

    def __add__(self, other: Mass) -> Mass:
        return Mass(self.ug + other.ug)

    def __sub__(self, other: Mass) -> Mass:
        return Mass(self.ug - other.ug)

    def __neg__(self) -> Mass:
        return Mass(-self.ug)

    def __abs__(self) -> Mass:
        return Mass(abs(self.ug))

    def __mul__(self, times: int) -> Mass:
        return Mass(self.ug * times)

    def __bool__(self) -> bool:
        raise TypeError("Say what is meant: mass == ZERO, mass > ZERO")

    def to(self, unit: Unit) -> Decimal:
        """The exact value in a unit, unrounded."""
        return Decimal(self.ug) / MICROGRAMS[unit]

    def rounded(self, unit: Unit, places: int) -> Decimal:
        """The value for show, half-even at so many decimals."""
        return self.to(unit).quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)

    @property
    def grams(self) -> float:
        """Grams as a float, for statistics only; never added up, never stored."""
        return self.ug / 1_000_000


ZERO = Mass(0)


def total(masses: Iterable[Mass]) -> Mass:
    """The exact sum of some masses; nothing adds up to ZERO."""
    return Mass(sum(mass.ug for mass in masses))


@dataclass(frozen=True, slots=True)
class Reading:
    """What the scale showed: canonical text ("11.6", "1 lb 4.5 oz"), its unit, and the mass it stands for.

    ``line`` is what the scale itself sent, when the number was taken from it; "" when somebody typed it.
    """

    text: str
    unit: Unit
    mass: Mass
    line: str = field(default="", compare=False)

    def __str__(self) -> str:
        return self.text if self.unit is Unit.LB_OZ else f"{self.text} {self.unit}"


def grams(value: str | int | Decimal) -> Mass:
    return Mass.of(value, Unit.G)


def ounces(value: str | int | Decimal) -> Mass:
    return Mass.of(value, Unit.OZ)
