"""A container's mass over time as a small drawing: the book as a line of steps, weigh tickets as marks beside it.

Times are instants; a place on the drawing is a number with one decimal, as an SVG takes it. A cylinder with hundreds of
tickets is thinned out column by column, so that no peak or dip of the book is lost.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import TypeVar

from shop.core.mass import ZERO, Mass
from shop.core.phrase import Phrase, phrase

WIDTH, HEIGHT = 480, 224
LEFT, RIGHT, TOP, BOTTOM = 88, 12, 14, 34  # room for the numbers
COLUMN = 4  # the drawing's units; what falls into one column is drawn as its first, least, most and last
NICE = (1, 2, 5, 10)


@dataclass(frozen=True, slots=True)
class Held:
    """What the book has in the container from an instant on."""

    at: datetime
    mass: Mass


@dataclass(frozen=True, slots=True)
class Weighed:
    """What a weigh ticket says is in it: the reading less the shell or tare. ``aside``: it says nothing any more."""

    at: datetime
    mass: Mass
    aside: bool = False


Point = TypeVar("Point", Held, Weighed)


@dataclass(frozen=True, slots=True)
class Mark:
    x: str
    y: str
    aside: bool


@dataclass(frozen=True, slots=True)
class Tick:
    """A line across with its number of grams."""

    y: str
    label: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """Everything an SVG needs; ``words`` say the same to who cannot see it."""

    path: str
    marks: tuple[Mark, ...]
    ticks: tuple[Tick, ...]
    first: datetime
    last: datetime
    words: Phrase
    thinned: bool

    width, height = WIDTH, HEIGHT
    left, right, foot = LEFT, WIDTH - RIGHT, HEIGHT - BOTTOM


def steps(moves: Sequence[tuple[datetime, Mass]]) -> list[Held]:
    """The book after each movement: (when, what came in or, below nothing, went out). What one entry moves at one
    instant is one step."""
    held, found = ZERO, []
    for at, group in groupby(sorted(moves, key=lambda one: one[0]), key=lambda one: one[0]):
        for _, mass in group:
            held = held + mass
        found.append(Held(at, held))
    return found


def mass_over_time(book: Sequence[Held], weighed: Sequence[Weighed]) -> Drawing | None:
    """The drawing; None for a container of which nothing was ever booked or weighed."""
    if not book and not weighed:
        return None
    instants = [*(one.at for one in book), *(one.at for one in weighed)]
    first, last = min(instants), max(instants)
    most = max([*(one.mass for one in book), *(one.mass for one in weighed)])
    levels = nice_levels(most.grams)
    x, y = _across(first, last), _up(levels[-1])
    line, marks = _thin(book, x), _thin(weighed, x)
    return Drawing(
        path=_path(line, x, y),
        marks=tuple(Mark(_n(x(one.at)), _n(y(one.mass.grams)), one.aside) for one in marks),
        ticks=tuple(Tick(_n(y(level)), f"{level:,g} g") for level in levels),
        first=first,
        last=last,
        words=_words(book, weighed),
        thinned=len(line) < len(book) or len(marks) < len(weighed),
    )


def nice_levels(most: float) -> list[float]:
    """Round numbers from nothing to at least ``most``, two to five of them above nothing."""
    if most <= 0:
        return [0, 1]
    size = 10.0 ** math.floor(math.log10(most / 4))
    step = next(nice * size for nice in NICE if nice * size * 4 >= most * 0.999)
    return [step * number for number in range(math.ceil(most * 0.999 / step) + 1)]


def _across(first: datetime, last: datetime) -> Callable[[datetime], float]:
    span = (last - first).total_seconds()
    wide = WIDTH - LEFT - RIGHT
    if span == 0:
        return lambda at: LEFT + wide / 2
    return lambda at: LEFT + wide * (at - first).total_seconds() / span


def _up(most: float) -> Callable[[float], float]:
    high = HEIGHT - TOP - BOTTOM
    return lambda grams: TOP + high * (1 - grams / most)


def _thin(points: Sequence[Point], x: Callable[[datetime], float]) -> list[Point]:
    """Of the points in one column the first, the least, the most and the last, in their order."""
    ordered = sorted(points, key=lambda one: one.at)
    kept: list[Point] = []
    for _, column in groupby(ordered, key=lambda one: int(x(one.at) // COLUMN)):
        mine = list(column)
        by_mass = sorted(range(len(mine)), key=lambda place: mine[place].mass)
        places = sorted({0, by_mass[0], by_mass[-1], len(mine) - 1})
        kept += [mine[place] for place in places]
    return kept


def _path(line: Sequence[Held], x: Callable[[datetime], float], y: Callable[[float], float]) -> str:
    """From step to step, level between them, and on to the right end."""
    if not line:
        return ""
    start = line[0]
    if len(line) == 1 and x(start.at) > LEFT:  # one instant only: a level line across
        return f"M{LEFT} {_n(y(start.mass.grams))}H{WIDTH - RIGHT}"
    parts = [f"M{_n(x(start.at))} {_n(y(0))}V{_n(y(start.mass.grams))}"]
    parts += [f"H{_n(x(one.at))}V{_n(y(one.mass.grams))}" for one in line[1:]]
    return "".join(parts) + f"H{WIDTH - RIGHT}"


def _n(number: float) -> str:
    """A place on the drawing; a text, so that no language puts a comma into it."""
    return f"{number:.1f}".removesuffix(".0")


def _words(book: Sequence[Held], weighed: Sequence[Weighed]) -> Phrase:
    standing = sorted((one for one in weighed if not one.aside), key=lambda one: one.at)
    last = {"tickets": len(standing), "last": _g(standing[-1].mass) if standing else ""}
    if not book:
        if not standing:
            return phrase("The book never had anything in it.")
        return phrase(
            "The book never had anything in it. Weigh tickets: {tickets}; the last says {last} g.", **last
        )
    ends = {"most": _g(max(one.mass for one in book)), "now": _g(book[-1].mass)}
    if not standing:
        return phrase("By the book {most} g at most, {now} g now. Never weighed bare.", **ends)
    return phrase(
        "By the book {most} g at most, {now} g now. Weigh tickets: {tickets}; the last says {last} g.",
        **ends,
        **last,
    )


def _g(mass: Mass) -> str:
    return f"{mass.grams:,.0f}"
