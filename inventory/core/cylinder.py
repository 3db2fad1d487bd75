"""How much a recovery cylinder may hold: the smallest of three limits, and the room that is left below it.

The water capacity (WC) stamped on a cylinder is the weight of water it holds at 60 °F. A filling density is judged
against it, and liquid must not fill a package up to 55 °C, 131 °F (49 CFR 173.304a(a)(2), Note 1, as read by PHMSA
interpretation 15-0231). That 80 % may be filled is a habit of the trade (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.core.properties import COLDEST, EQUATIONS, FLUIDS, HOTTEST
from inventory.core.refrigerants import UNKNOWN
from shop.core.answer import Answer
from shop.core.decision import combined, u_rectangular, u_resolution
from shop.core.findings import Weight
from shop.core.gauge import celsius, in_celsius, in_fahrenheit, rounded
from shop.core.mass import ZERO, Mass, Unit
from shop.core.phrase import phrase

WATER = 999.016  # kg/m³ of water at 60 °F, at which WC is stamped
COOL, HOT = celsius(25), celsius(55)
COOL_SHARE, HOT_SHARE = 0.80, 0.90  # of the volume; the second keeps a tenth of it from being liquid-full
LIGHTEST = min(FLUIDS.values(), key=lambda fluid: fluid.liquid_density(HOT))
STAMP_STEP = Mass.of("0.1", Unit.LB)  # tares are stamped to a tenth of a pound


class Rule(StrEnum):
    """Which of the three limits it is."""

    WEIGHT = "weight"
    COOL_LIQUID = "liquid at 25 °C"
    HOT_LIQUID = "liquid at 55 °C"


@dataclass(frozen=True, slots=True)
class FillLimit:
    """What a cylinder of this water capacity may hold of one refrigerant. ``limits`` are all that were asked, and the
    smallest of them rules. ``refrigerant`` may be "unknown": nobody can say how light its liquid is, so the lightest
    of those we know stands for it."""

    water: Mass
    percent: Decimal
    refrigerant: str
    limits: tuple[tuple[Rule, Mass], ...]

    @property
    def ruling(self) -> Rule:
        return min(self.limits, key=lambda limit: limit[1])[0]

    @property
    def most(self) -> Mass:
        return min(mass for _, mass in self.limits)

    @property
    def why(self) -> str:
        """What the ruling limit is, in words."""
        if self.ruling is Rule.WEIGHT:
            return phrase("{percent} % of water capacity by weight", percent=self.percent)
        if self.ruling is Rule.COOL_LIQUID:
            return phrase("liquid fills 80 percent of it at 77 °F (25 °C)")
        return phrase("nine tenths of what fills it with liquid at 131 °F (55 °C)")


def fill_limit(water: Mass, percent: Decimal, refrigerant: str) -> FillLimit:
    """The limits of a cylinder with this water capacity (more than zero) under the shop's percent by weight.

    What is unknown, or has no equations here, gets those of the lightest liquid we know: it may be that one.
    """
    fluid = FLUIDS.get(refrigerant, LIGHTEST)
    limits = (
        (Rule.WEIGHT, Mass(int(water.ug * percent / 100))),
        (Rule.COOL_LIQUID, liquid_filling(water, fluid.liquid_density(COOL), COOL_SHARE)),
        (Rule.HOT_LIQUID, liquid_filling(water, fluid.liquid_density(HOT), HOT_SHARE)),
    )
    return FillLimit(water, percent, refrigerant if refrigerant in FLUIDS else UNKNOWN, limits)


def liquid_filling(water: Mass, density: float, share: float = 1.0) -> Mass:
    """Liquid of a density (kg/m³) that fills this share of a cylinder's volume, rounded down."""
    return Mass(math.floor(water.ug * share * density / WATER))


def liquid_full_at(net: Mass, water: Mass, refrigerant: str) -> float | None:
    """K at which so much refrigerant fills the cylinder with liquid; None when that is above 85 °C or not known."""
    fluid = FLUIDS.get(refrigerant)
    if fluid is None or net <= liquid_filling(water, fluid.liquid_density(HOTTEST)):
        return None
    low, high = COLDEST, HOTTEST
    while high - low > 1e-4:
        middle = (low + high) / 2
        fits = net <= liquid_filling(water, fluid.liquid_density(middle))
        low, high = (middle, high) if fits else (low, middle)
    return low


def twice_u(gross: Mass, division: Mass | None, gain: float) -> Mass:
    """Two standard uncertainties of a weighed cylinder, rounded up: its scale's steps, and its gain as a fraction.

    A cylinder that no scale of the shop has weighed (``division`` None) is known to the step of its stamps.
    """
    step = u_resolution((STAMP_STEP if division is None else division).grams)
    return Mass(math.ceil(2e6 * combined(step, u_rectangular(gain * gross.grams))))


def room_left(limit: Mass, held: Mass, doubt: Mass) -> Mass:
    """What may still go in, never less than nothing."""
    return max(limit - held - doubt, ZERO)


def fill_answer(fill: FillLimit, *, held: Mass | None = None, doubt: Mass = ZERO) -> Answer:
    """In words: the limit, which of the three it is, and with what is in it the room left."""
    says, weight = list(_why(fill)), Weight.NOTE
    if held is not None:
        left = room_left(fill.most, held, doubt)
        says.insert(0, phrase("It holds {held}; room left {left}.", held=_both(held), left=_both(left)))
        if held + doubt > fill.most:
            weight = Weight.BLOCKS
            says[0] = phrase(
                "It holds {held}, over its limit. Put nothing in, keep it cool, and have it emptied.",
                held=_both(held),
            )
    numbers = _numbers(fill, doubt if held is not None else None)
    return Answer(_headline(fill), tuple(says), numbers, weight, BASIS)


def _headline(fill: FillLimit) -> str:
    said = {"most": _both(fill.most), "why": fill.why}
    if fill.refrigerant == UNKNOWN:
        return phrase("At most {most} in it: {why}.", **said)
    return phrase("At most {most} of {gas} in it: {why}.", gas=fill.refrigerant, **said)


BASIS = phrase(
    "Liquid must not fill a package up to 131 °F: 49 CFR 173.304a. The tenth kept below that is the tool's own margin;"
    " 80 percent is common practice, no source. {equations}.",
    equations=EQUATIONS,
)
NAMES = {
    Rule.WEIGHT: phrase("By weight"),
    Rule.COOL_LIQUID: phrase("80 % liquid at 77 °F (25 °C)"),
    Rule.HOT_LIQUID: phrase("90 % of liquid-full at 131 °F (55 °C)"),
}


def _why(fill: FillLimit) -> tuple[str, ...]:
    if fill.refrigerant == UNKNOWN:
        return (
            phrase(
                "Nobody knows how light its liquid is; {lightest}, the lightest this tool knows, was taken. A"
                " hydrocarbon is lighter still: stop well below.",
                lightest=LIGHTEST.code,
            ),
        )
    by_weight = next(mass for rule, mass in fill.limits if rule is Rule.WEIGHT)
    full = liquid_full_at(by_weight, fill.water, fill.refrigerant)
    if fill.ruling is Rule.WEIGHT or full is None:
        return ()
    return (
        phrase(
            "Liquid {gas} is light: {percent} % by weight would fill the cylinder with liquid at {f} °F ({c} °C), and"
            " a cylinder full of liquid can burst.",
            gas=fill.refrigerant,
            percent=fill.percent,
            f=rounded(in_fahrenheit(full), 0),
            c=rounded(in_celsius(full), 0),
        ),
    )


def _numbers(fill: FillLimit, doubt: Mass | None) -> tuple[tuple[str, str], ...]:
    rows = [(NAMES[rule], _both(mass)) for rule, mass in fill.limits]
    if doubt is not None:
        rows.append((phrase("Kept back for the scale"), phrase("{g} g", g=doubt.rounded(Unit.G, 0))))
    return tuple(rows)


def _both(mass: Mass) -> str:
    return phrase("{g} g ({lb} lb)", g=f"{mass.rounded(Unit.G, 0):,}", lb=f"{mass.rounded(Unit.LB, 1):,}")
