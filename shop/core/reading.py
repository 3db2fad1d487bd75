"""From what was typed to a reading: canonical text, unit, exact mass; or one clear sentence on what to type instead."""

from __future__ import annotations

import re
from decimal import Decimal

from shop.core.findings import Finding, blocked, warned
from shop.core.mass import LARGEST, MICROGRAMS, Mass, Reading, Unit

NAMES = {
    "g": Unit.G, "gram": Unit.G, "grams": Unit.G, "gr": Unit.G, "gm": Unit.G,
    "kg": Unit.KG, "kilo": Unit.KG, "kilos": Unit.KG, "kilogram": Unit.KG, "kilograms": Unit.KG,
    "oz": Unit.OZ, "ounce": Unit.OZ, "ounces": Unit.OZ,
    "lb": Unit.LB, "lbs": Unit.LB, "pound": Unit.LB, "pounds": Unit.LB,
    "lb+oz": Unit.LB_OZ, "lb oz": Unit.LB_OZ, "lb-oz": Unit.LB_OZ,
}  # fmt: skip
FLUID = re.compile(r"\bfl\.?\s*oz\b|fluid", re.IGNORECASE)
TROY = re.compile(r"\btroy\b|\bozt\b|\boz\.?\s*t\b", re.IGNORECASE)
NUMBER = re.compile(r"(?P<number>\d+(?:[.,]\d*)?|[.,]\d+)\s*(?P<unit>[a-z.+ ]*)", re.IGNORECASE | re.ASCII)
POUNDS = re.compile(
    r"(?P<lb>\d+)\s*(?:(?:lbs?\.?|:)\s*|\s)(?P<oz>\d+(?:[.,]\d+)?)\s*(?:oz\.?|ounces?)?",
    re.IGNORECASE | re.ASCII,
)
Read = tuple[Reading | None, list[Finding]]


def unit_named(text: str) -> tuple[Unit | None, list[Finding]]:
    """The unit somebody wrote, or a finding. A fluid ounce is a volume, a troy ounce another weight."""
    name = " ".join(text.strip().lower().rstrip(".").split())
    if FLUID.search(name):
        return None, [
            blocked("mass-fluid-ounce", "A fluid ounce is a volume. Weigh it and type oz by weight.", "unit")
        ]
    if TROY.search(name):
        return None, [
            blocked("mass-troy-ounce", "A troy ounce is not a scale's ounce. Type oz, g, lb or kg.", "unit")
        ]
    if name in NAMES:
        return NAMES[name], []
    return None, [
        blocked(
            "mass-unit",
            f"{text.strip() or 'No unit'} is no unit of this tool. Use g, kg, oz, lb or lb+oz.",
            "unit",
        )
    ]


def decimals_of(division: Mass, unit: Unit) -> int:
    """How many decimals a display with this division shows: 1 g none, 0.1 oz one, 0.05 oz two."""
    shown = division.to(Unit.OZ if unit is Unit.LB_OZ else unit).quantize(Decimal("0.00001")).normalize()
    return max(0, -int(shown.as_tuple().exponent))


def read_mass(text: str, unit: Unit, *, division: Mass | None = None, field: str = "reading") -> Read:
    """A reading of a scale that shows ``unit`` in steps of ``division``; never raises, whatever was typed.

    Comma decimals are taken and written with a point. Returns the reading and perhaps a warning, or None and what to do.
    """
    typed = " ".join(text.split())
    refusal = _not_a_mass(typed, field)
    if refusal is not None:
        return None, [refusal]
    if unit is Unit.LB_OZ:
        return _pounds_and_ounces(typed, division, field)
    match = NUMBER.fullmatch(typed)
    if match is None:
        return None, [_odd(typed, field)]
    named = match["unit"].strip()
    if named:
        written, found = unit_named(named)
        if written is not unit:
            sentence = (
                found[0].message
                if found
                else f"This is in {written}; type it in {unit}, or choose {written} as the unit."
            )
            return None, [blocked(found[0].code if found else "mass-unit", sentence, field)]
    number = _canonical(match["number"])
    if Decimal(number) * MICROGRAMS[unit] > LARGEST:
        return None, [
            blocked(
                "mass-too-large", f"{number} {unit} is more than this shop handles. Check the number.", field
            )
        ]
    return _checked(Reading(number, unit, Mass.of(number, unit)), Decimal(number), unit, division, field)


def _not_a_mass(typed: str, field: str) -> Finding | None:
    if not typed:
        return blocked("mass-empty", "Type what the scale shows.", field)
    if FLUID.search(typed):
        return blocked(
            "mass-fluid-ounce", "A fluid ounce is a volume. Weigh it and type oz by weight.", field
        )
    if TROY.search(typed):
        return blocked("mass-troy-ounce", "A troy ounce is not a scale's ounce. Type oz, g, lb or kg.", field)
    if typed[0] in "-−–":
        return blocked(
            "mass-negative", "A weight is not below zero. Zero the scale and read it again.", field
        )
    return None


def _odd(typed: str, field: str) -> Finding:
    return blocked(
        "mass-not-a-number", f"{typed[:20]} is not a weight. Type the number only, for example 466.", field
    )


def _canonical(number: str) -> str:
    whole, _, part = number.replace(",", ".").partition(".")
    whole = whole.lstrip("0") or "0"
    return f"{whole}.{part}" if part else whole


def _pounds_and_ounces(typed: str, division: Mass | None, field: str) -> Read:
    match = POUNDS.fullmatch(typed)
    if match is None:
        sentence = "This scale shows pounds and ounces. Type both, for example 1 lb 4.5 oz."
        return None, [blocked("mass-needs-lb-oz", sentence, field)]
    pounds, ounces = int(match["lb"]), _canonical(match["oz"])
    if Decimal(ounces) >= 16:
        sentence = f"{ounces} oz is a pound or more. Type pounds and the ounces that are left, below 16."
        return None, [blocked("mass-needs-lb-oz", sentence, field)]
    in_ounces = pounds * 16 + Decimal(ounces)
    if in_ounces * MICROGRAMS[Unit.OZ] > LARGEST:
        return None, [
            blocked("mass-too-large", "That is more than this shop handles. Check the number.", field)
        ]
    reading = Reading(f"{pounds} lb {ounces} oz", Unit.LB_OZ, Mass.of(in_ounces, Unit.OZ))
    return _checked(reading, Decimal(ounces), Unit.OZ, division, field)


def _checked(reading: Reading, number: Decimal, unit: Unit, division: Mass | None, field: str) -> Read:
    if division is None:
        return reading, []
    shown = decimals_of(division, unit)
    typed = max(0, -int(number.as_tuple().exponent))
    if typed > shown:
        sentence = f"The scale shows {shown} decimals, {reading} has {typed}. Type it as the scale shows it."
        return None, [blocked("mass-decimals", sentence, field)]
    step = division.to(unit).quantize(Decimal("0.00001"))
    if step and number % step:
        sentence = (
            f"{reading} lies between two steps of this scale ({step.normalize():f} {unit}). Read it again."
        )
        return reading, [warned("mass-between-divisions", sentence, field)]
    return reading, []
