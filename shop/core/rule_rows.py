"""Rules as rows of data, so that a phone without a signal asks what the server asks.

A row says when it speaks, of which field, and in which sentence. An expression is a name (a fact, or a term of the
table), a number ("0.02", or "250 g" for so many grams), or an operator with its arguments. Numbers are exact: masses
are whole micrograms, everything else is a fraction. Nothing can be told from what is not known: a sum with it is not
known, and no comparison with it holds. The twin of this module is compliance/static/compliance/rules.js.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise
from typing import Any, TypeAlias

from shop.core.findings import Finding, Weight
from shop.core.gauge_text import exact_bulb, exact_counts, exact_kelvin, exact_pascal, exact_unit
from shop.core.mass import MICROGRAMS, Mass, Unit
from shop.core.phrase import Phrase, filled, phrase

Expression: TypeAlias = "str | tuple[Expression, ...]"
Terms: TypeAlias = Mapping[str, Expression]
Facts: TypeAlias = Mapping[str, Any]

UNIT_WORDS = {
    Unit.G: phrase("grams"),
    Unit.OZ: phrase("ounces"),
    Unit.LB: phrase("pounds"),
    Unit.KG: phrase("kilograms"),
}
BLOCKS, WARNS, NOTE = Weight.BLOCKS, Weight.WARNS, Weight.NOTE
NUMBER = frozenset("-0123456789")


@dataclass(frozen=True, slots=True)
class Row:
    """One rule. ``sentence`` is a pattern, ``values`` fill it. Of the rows of one ``group`` the first that speaks is
    the only one."""

    code: str
    weight: Weight
    field: str
    when: Expression
    sentence: Phrase
    values: Mapping[str, Expression]
    group: str = ""
    basis: str = ""


class Look:
    """The facts of one entry, the terms that are worked out of them, and what was found so far."""

    def __init__(self, terms: Terms, facts: Facts) -> None:
        self.terms, self.known, self.found = terms, dict(facts), list[Finding]()

    def value(self, said: Expression) -> Any:
        """What an expression comes to; None when something in it is not known."""
        if not isinstance(said, str):
            return OPERATORS[said[0]](self, *said[1:])  # type: ignore[index]
        if said in self.known:
            return self.known[said]
        if said[0] in NUMBER:
            self.known[said] = literal(said)
        else:
            self.known[said] = self.value(self.terms[said]) if said in self.terms else None
        return self.known[said]

    def all(self, said: Iterable[Expression]) -> list[Any] | None:
        """What all of them come to, or None."""
        values = []
        for one in said:
            value = self.value(one)
            if value is None:
                return None
            values.append(value)
        return values

    def judge(self, rows: Iterable[Row]) -> list[Finding]:
        """What these rows say, in their order."""
        spoken, before = set[str](), len(self.found)
        for row in rows:
            if row.group in spoken or self.value(row.when) is not True:
                continue
            values = {name: self.value(said) for name, said in row.values.items()}
            self.found.append(
                Finding(row.code, row.weight, filled(row.sentence, **values), row.field, row.basis)
            )
            spoken |= {row.group} - {""}
        return self.found[before:]


@cache
def literal(said: str) -> Fraction | int:
    """A number of a table; grams become micrograms."""
    number, _, unit = said.partition(" ")
    exact = Fraction(number) * (1_000_000 if unit else 1)
    return exact.numerator if exact.denominator == 1 else exact


def as_data(rows: Iterable[Row], say: Callable[[str], str]) -> list[list[Any]]:
    """The rows as plain lists, their sentences in the language of ``say``: code, weight, field, when, sentence, values
    (but for those that are the fact of their own name), and the group if there is one."""
    return [
        [
            one.code,
            one.weight.value,
            one.field,
            one.when,
            say(one.sentence),
            {name: said for name, said in one.values.items() if said != name},
            *([one.group] if one.group else []),
        ]
        for one in rows
    ]


def said_mass(mass: Mass, unit: Unit) -> str:
    """A mass in the unit of the scale at hand, as a sentence has it."""
    if unit is Unit.LB_OZ:
        pounds, ounces = divmod(mass.rounded(Unit.OZ, 1), 16)
        return f"{pounds} lb {ounces} oz" if pounds else f"{ounces} oz"
    places = {Unit.G: 0, Unit.OZ: 1}.get(unit, 3)
    return f"{mass.rounded(unit, places)} {unit}"


def swapped(number: str, unit: Unit, expected: Fraction | int, square: Fraction | int) -> str | None:
    """The number with two neighbouring digits swapped, when that is ``expected`` (µg) to the root of ``square``."""
    if unit not in MICROGRAMS:
        return None
    digits = [place for place, mark in enumerate(number) if mark != "."]
    for first, second in pairwise(digits):
        marks = list(number)
        marks[first], marks[second] = marks[second], marks[first]
        other = "".join(marks)
        if (Mass.of(other, unit).ug - expected) ** 2 <= square:
            return other
    return None


def other_unit(number: str, unit: Unit, low: Fraction, high: Fraction, near: Fraction) -> Unit | None:
    """The unit in which the same number lies from ``low`` to ``high`` (µg), nearest to ``near``."""
    if unit not in MICROGRAMS:
        return None
    meant = {one: Mass.of(number, one).ug for one in UNIT_WORDS}
    fits = [one for one, ug in meant.items() if low <= ug <= high]
    return min(fits, key=lambda one: abs(near - meant[one]), default=None)


def _numbers(compute: Callable[..., Any]) -> Callable[..., Any]:
    """An operator on values that must all be known."""

    def operator(look: Look, *said: Expression) -> Any:
        values = look.all(said)
        return None if values is None else compute(*values)

    return operator


def _product(*values: Any) -> Any:
    result = values[0]
    for one in values[1:]:
        result *= one
    return result


def _if(look: Look, condition: Expression, yes: Expression, no: Expression | None = None) -> Any:
    if look.value(condition) is True:
        return look.value(yes)
    return look.value(no) if no is not None else None


def _of_the_number(compute: Callable[..., Any]) -> Callable[..., Any]:
    """An operator on the number that was typed in the scale's unit."""

    def operator(look: Look, *said: Expression) -> Any:
        values = look.all(said)
        if values is None:
            return None
        return compute(look.value("number"), Unit(look.value("unit")), *values)

    return operator


def _converted(look: Look, meant: Expression) -> str:
    """The same number in another unit, as this scale would show it."""
    unit, places = Unit(look.value("unit")), int(look.value("places"))
    return f"{Mass.of(look.value('number'), look.value(meant)).rounded(unit, places)} {unit}"


OPERATORS: dict[str, Callable[..., Any]] = {
    "+": _numbers(lambda *values: sum(values)),
    "-": _numbers(lambda one, other: one - other),
    "*": _numbers(_product),
    "/": _numbers(lambda one, other: Fraction(one) / other),
    "max": _numbers(max),
    "abs": _numbers(abs),
    ">": _numbers(lambda one, other: one > other),
    "<": _numbers(lambda one, other: one < other),
    "same": _numbers(lambda one, other: one == other),
    # more than the root of a square: exact, where the root is not
    "beyond": _numbers(lambda one, square: one > 0 and one * one > square),
    "and": lambda look, *said: all(look.value(one) is True for one in said),
    "or": lambda look, *said: any(look.value(one) is True for one in said),
    "not": lambda look, said: look.value(said) is not True,
    "known": lambda look, *said: all(look.value(one) not in (None, "") for one in said),
    "is": lambda look, said, *texts: look.value(said) in texts,
    "if": _if,
    "swapped": _of_the_number(swapped),
    "other-unit": _of_the_number(other_unit),
    "converted": _converted,
    "unit-word": _numbers(lambda unit: UNIT_WORDS[unit]),
    "g": _numbers(lambda ug: f"{Mass(int(ug)).rounded(Unit.G, 0)}"),
    "mass": lambda look, said: said_mass(Mass(int(look.value(said))), Unit(look.value("unit"))),
    "in-unit": lambda look, said: f"{look.value(said)} {look.value('unit')}",
    "floor": _numbers(math.floor),
    "kelvin": _numbers(exact_kelvin),
    "pascal": _numbers(exact_pascal),
    "counts": _numbers(exact_counts),
    "unit-of": _numbers(exact_unit),
    "bulb": _numbers(exact_bulb),
}
