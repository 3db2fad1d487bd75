"""From what was typed to a reading: canonical text, unit, exact mass; or one clear sentence on what to type instead."""

from __future__ import annotations

import re
from decimal import Decimal

from shop.core.findings import Finding, blocked, warned
from shop.core.mass import LARGEST, MICROGRAMS, Mass, Reading, Unit
from shop.core.phrase import filled, phrase

NAMES = {
    "g": Unit.G, "gram": Unit.G, "grams": Unit.G, "gr": Unit.G, "gm": Unit.G,
    "kg": Unit.KG, "kilo": Unit.KG, "kilos": Unit.KG, "kilogram": Unit.KG, "kilograms": Unit.KG,
    "oz": Unit.OZ, "ounce": Unit.OZ, "ounces": Unit.OZ,
    "lb": Unit.LB, "lbs": Unit.LB, "pound": Unit.LB, "pounds": Unit.LB,
    "lb+oz": Unit.LB_OZ, "lb oz": Unit.LB_OZ, "lb-oz": Unit.LB_OZ, "lb and oz": Unit.LB_OZ,
}  # fmt: skip
FLUID = re.compile(r"fl\.?\s*oz|fluid", re.IGNORECASE | re.ASCII)
TROY = re.compile(r"troy|oz\.?\s*t\b", re.IGNORECASE | re.ASCII)
NUMBER = re.compile(r"(?P<number>\d+(?:[.,]\d*)?|[.,]\d+)\s*(?P<unit>[a-z.+ -]*)", re.IGNORECASE | re.ASCII)
GROUPED = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?", re.ASCII)
POUNDS = re.compile(
    r"(?P<lb>\d+)\s*(?:(?:lbs?\.?|pounds?|:)\s*|\s)(?P<oz>\d+(?:[.,]\d+)?)\s*(?:oz\.?|ounces?)?",
    re.IGNORECASE | re.ASCII,
)
LONGEST = 40  # characters; no scale shows more
FINEST = Decimal(
    "0.00001"
)  # a division is at least this, in its unit; what lies below is the microgram's rounding
# What is said of a number that cannot be read: its code and its sentence. A phone without a signal says the same.
SAYS = {
    "empty": ("mass-empty", phrase("Type what the scale shows.")),
    "long": ("mass-not-a-number", phrase("That is too long for a weight. Type the number only.")),
    "negative": (
        "mass-negative",
        phrase("A weight is not below zero. Zero the empty scale and read it again."),
    ),
    "grouped": (
        "mass-not-a-number",
        phrase("{typed} can be read two ways. Type it without the comma, or with a point for decimals."),
    ),
    "fluid": (
        "mass-fluid-ounce",
        phrase("A fluid ounce is a volume. Weigh it and type ounces by weight (oz)."),
    ),
    "troy": (
        "mass-troy-ounce",
        phrase("A troy ounce is a tenth heavier than a scale's ounce. Type oz, g, lb or kg."),
    ),
    "number": (
        "mass-not-a-number",
        phrase("“{typed}” is not a weight. Type the number only, for example 466."),
    ),
    "no-unit": ("mass-unit", phrase("{said} Use g, kg, oz, lb or lb+oz.")),
    "other": (
        "mass-unit",
        phrase("That is in {written}. Type it in {unit}, or choose {written} as the unit."),
    ),
    "other-scale": (
        "mass-unit",
        phrase(
            "That is in {written}, and this scale shows {unit}. Type what it shows, or pick the other scale."
        ),
    ),
    "lb-oz": ("mass-needs-lb-oz", phrase("Type pounds and ounces, for example 1 lb 4.5 oz.")),
    "sixteen": (
        "mass-needs-lb-oz",
        phrase("{ounces} oz is a pound or more. Type the pounds and the ounces that are left, below 16."),
    ),
    "large": (
        "mass-too-large",
        phrase("{typed} is more than this shop handles. Check the number and its unit."),
    ),
    "between": (
        "mass-between-divisions",
        phrase("{reading} lies between two steps of this scale ({steps}). Read it again."),
    ),
    "ounces": (
        "mass-decimals",
        phrase(
            "{reading} looks like ounces (= {as_ounces:,} g) or pounds (= {as_pounds:,} g). This scale shows"
            " whole grams: type those."
        ),
    ),
    "decimals": (
        "mass-decimals",
        phrase("This scale shows {as_many}, {reading} has more. Type it as the scale shows it."),
    ),
}
NO_UNIT = phrase("“{name}” is no unit of this book."), phrase("The unit is missing.")
PLACES = (phrase("no decimals"), phrase("one decimal"), phrase("two decimals"), phrase("three decimals"))
MORE_PLACES = phrase("{shown} decimals")
Read = tuple[Reading | None, list[Finding]]


def _refuse(what: str, field: str, **values: object) -> Finding:
    code, sentence = SAYS[what]
    return blocked(code, filled(sentence, **values), field)


def unit_named(text: str) -> tuple[Unit | None, list[Finding]]:
    """The unit somebody wrote, or a finding. A fluid ounce is a volume, a troy ounce another weight."""
    name = " ".join(text.strip().lower().rstrip(".").split())
    refusal = _not_an_ounce(name, "unit")
    if refusal is not None:
        return None, [refusal]
    if name in NAMES:
        return NAMES[name], []
    unknown, missing = NO_UNIT
    said = filled(unknown, name=text.strip()[:20]) if name else missing
    return None, [_refuse("no-unit", "unit", said=said)]


def step_of(division: Mass, unit: Unit) -> Decimal:
    """A division as the plate of the scale states it, in the unit (ounces for lb+oz): 0.1, not 0.09999998."""
    return division.to(_counted_in(unit)).quantize(FINEST).normalize()


def decimals_of(division: Mass, unit: Unit) -> int:
    """How many decimals a display with this division shows: 1 g none, 0.1 oz one, 0.05 oz two."""
    return max(0, -int(step_of(division, unit).as_tuple().exponent))


def read_mass(text: str, unit: Unit, *, division: Mass | None = None, field: str = "reading") -> Read:
    """A reading of a scale that shows ``unit`` in steps of ``division``; never raises, whatever was typed.

    A comma may stand for the point. Returns the reading and perhaps a warning, or None and what to type instead.
    """
    typed = " ".join(text.split())
    refusal = _not_a_mass(typed, field)
    if refusal is not None:
        return None, [refusal]
    parts = (
        _pounds_and_ounces(typed, field)
        if unit is Unit.LB_OZ
        else _plain(typed, unit, division is not None, field)
    )
    if isinstance(parts, Finding):
        return None, [parts]
    shown, number, whole = parts
    if whole * MICROGRAMS[_counted_in(unit)] > LARGEST:
        return None, [_refuse("large", field, typed=typed)]
    reading = Reading(shown, unit, Mass.of(whole, _counted_in(unit)))
    return _on_this_scale(reading, number, division, field)


def _counted_in(unit: Unit) -> Unit:
    return Unit.OZ if unit is Unit.LB_OZ else unit


def _not_a_mass(typed: str, field: str) -> Finding | None:
    if not typed:
        return _refuse("empty", field)
    if len(typed) > LONGEST:
        return _refuse("long", field)
    if typed[0] in "-−–":
        return _refuse("negative", field)
    if GROUPED.fullmatch(typed.partition(" ")[0]):
        return _refuse("grouped", field, typed=typed)
    return _not_an_ounce(typed, field)


def _not_an_ounce(typed: str, field: str) -> Finding | None:
    if FLUID.search(typed):
        return _refuse("fluid", field)
    return _refuse("troy", field) if TROY.search(typed) else None


def _plain(typed: str, unit: Unit, on_scale: bool, field: str) -> tuple[str, Decimal, Decimal] | Finding:
    """The canonical text, the number as shown, and the number in the scale's unit."""
    match = NUMBER.fullmatch(typed)
    if match is None and POUNDS.fullmatch(typed) and re.search("lb|pound|:", typed, re.IGNORECASE):
        return _other_unit(Unit.LB_OZ, unit, on_scale, field)
    if match is None:
        return _refuse("number", field, typed=typed)
    named = match["unit"].strip()
    written, problems = unit_named(named) if named else (unit, [])
    if written is None:
        return blocked(problems[0].code, problems[0].message, field)
    if written is not unit:
        return _other_unit(written, unit, on_scale, field)
    number = _canonical(match["number"])
    return number, Decimal(number), Decimal(number)


def _other_unit(written: Unit, unit: Unit, on_scale: bool, field: str) -> Finding:
    return _refuse("other-scale" if on_scale else "other", field, written=written, unit=unit)


def _pounds_and_ounces(typed: str, field: str) -> tuple[str, Decimal, Decimal] | Finding:
    match = POUNDS.fullmatch(typed)
    if match is None:
        return _refuse("lb-oz", field)
    pounds, ounces = int(match["lb"]), _canonical(match["oz"])
    if Decimal(ounces) >= 16:
        return _refuse("sixteen", field, ounces=ounces)
    return f"{pounds} lb {ounces} oz", Decimal(ounces), pounds * 16 + Decimal(ounces)


def _canonical(number: str) -> str:
    whole, _, part = number.replace(",", ".").partition(".")
    whole = whole.lstrip("0") or "0"
    return f"{whole}.{part}" if part else whole


def _on_this_scale(reading: Reading, number: Decimal, division: Mass | None, field: str) -> Read:
    """Whether a display with this division can show the number at all."""
    if division is None:
        return reading, []
    shown, step = decimals_of(division, reading.unit), step_of(division, reading.unit)
    if -int(number.as_tuple().exponent) > shown:
        return None, [_too_fine(reading, number, shown, field)]
    if step and number % step:
        steps = f"{step:f} {_counted_in(reading.unit)}"
        code, sentence = SAYS["between"]
        return reading, [warned(code, filled(sentence, reading=reading, steps=steps), field)]
    return reading, []


def _too_fine(reading: Reading, number: Decimal, shown: int, field: str) -> Finding:
    """A decimal on a scale of whole grams is an ounce reading as a rule, so say what it would be."""
    if reading.unit is Unit.G and not shown:
        as_ounces, as_pounds = (Mass.of(number, unit).rounded(Unit.G, 0) for unit in (Unit.OZ, Unit.LB))
        return _refuse("ounces", field, reading=reading.text, as_ounces=as_ounces, as_pounds=as_pounds)
    as_many = PLACES[shown] if shown < len(PLACES) else filled(MORE_PLACES, shown=shown)
    return _refuse("decimals", field, as_many=as_many, reading=reading)
