"""What is stamped on a recovery cylinder and what it weighs, as typed: whether the numbers and their units can be.

Tare (TW) and water capacity (WC) stand side by side in a ring of stamps and are easily taken for each other; scales
show kg where stamps say lb. What cannot be is refused, what is only unlikely is asked about.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from inventory.core.cylinder import FillLimit
from shop.core.findings import Finding, blocked, warned
from shop.core.mass import Mass, Reading, Unit
from shop.core.phrase import phrase

WATER_RANGE = (Mass.of(5, Unit.LB), Mass.of(150, Unit.LB))
TARE_RANGE = (Mass.of(3, Unit.LB), Mass.of(120, Unit.LB))
COMMON_WATER = (Mass.of("26.2", Unit.LB), Mass.of("47.7", Unit.LB))  # cylinders of 30 and 50 lb, from memory
OTHER_UNIT = {Unit.LB: Unit.KG, Unit.KG: Unit.LB}


@dataclass(frozen=True, slots=True)
class Stamps:
    """TW, WC, and the weight of today."""

    tare: Reading
    water: Reading
    gross: Reading


def stamp_problems(stamps: Stamps) -> list[Finding]:
    """What is wrong with the numbers, or has to be asked about them."""
    found = list(_absurd(stamps))
    return found or list(_asked(stamps))


def overfull(held: Mass, fill: FillLimit) -> list[Finding]:
    """A cylinder that comes in with more than it may hold: a slip of a unit, or a danger."""
    if held <= fill.most:
        return []
    sentence = phrase(
        "It would hold {held} g, over its limit of {most} g ({why}). Check the numbers and their units. If it is so:"
        " put nothing in, keep it cool, and have it emptied.",
        held=f"{held.rounded(Unit.G, 0):,}",
        most=f"{fill.most.rounded(Unit.G, 0):,}",
        why=fill.why,
    )
    return [warned("cylinder-overfull", sentence, "gross")]


def _absurd(stamps: Stamps) -> Iterator[Finding]:
    tare, water, gross = stamps.tare.mass, stamps.water.mass, stamps.gross.mass
    if not TARE_RANGE[0] <= tare <= TARE_RANGE[1]:
        sentence = phrase("A recovery cylinder's tare (TW) is 3 to 120 lb. Check the number and its unit.")
        yield blocked("tare-absurd", sentence, "tare")
    if not WATER_RANGE[0] <= water <= WATER_RANGE[1]:
        sentence = phrase(
            "A recovery cylinder's water capacity (WC) is 5 to 150 lb. Check the number and its unit."
        )
        yield blocked("water-absurd", sentence, "water")
    if gross < tare:
        sentence = phrase("It weighs less than its stamped tare (TW). Check both numbers and their units.")
        yield blocked("below-tare", sentence, "gross")
    if gross > tare + Mass(water.ug * 13 // 10):  # no liquid refrigerant here is denser than 1.3 times water
        sentence = phrase("No cylinder of this size weighs that much. Check the number and its unit.")
        yield blocked("gross-absurd", sentence, "gross")


def _asked(stamps: Stamps) -> Iterator[Finding]:
    tare, water = stamps.tare.mass, stamps.water.mass
    if water.ug * 2 > tare.ug * 5 or water.ug * 2 < tare.ug:
        sentence = phrase(
            "WC {water} and TW {tare} do not fit each other. Were they swapped, or is one of them in another unit?",
            water=stamps.water,
            tare=stamps.tare,
        )
        yield warned("tare-water-swapped", sentence, "water")
    elif meant := _meant(stamps.water):
        sentence = phrase(
            "WC {water}: a common cylinder is stamped {meant}. Which unit is it?",
            water=stamps.water,
            meant=meant,
        )
        yield warned("water-unit", sentence, "water")


def _meant(water: Reading) -> str:
    """The same number in the other unit, when that is a common size and this is none; "" otherwise."""
    other = OTHER_UNIT.get(water.unit)
    if other is None or _common(water.mass):
        return ""
    return f"{water.text} {other}" if _common(Mass.of(water.text, other)) else ""


def _common(mass: Mass) -> bool:
    """Within 2 % of a size that is often seen."""
    return any(abs(mass - one) <= Mass(one.ug // 50) for one in COMMON_WATER)
