"""Suspects of a count's difference: what each could explain, how sure that is, and where it is checked.

A suspect never writes in the book. What the ones on file do not explain stays unexplained, as a range.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from shop.core.mass import ZERO, Mass, Unit, total
from shop.core.phrase import phrase

COVERS = 2  # standard uncertainties either way, about 95 of 100


class Sure(StrEnum):
    """How sure it is that this is part of the difference."""

    ON_FILE = phrase("on file")
    LIKELY = phrase("likely")
    POSSIBLE = phrase("possible")


@dataclass(frozen=True, slots=True)
class Door:
    """The one page where a suspect is checked: the name of its address, what the address names, what it asks."""

    page: str
    names: tuple[str, ...] = ()
    asks: str = ""


@dataclass(frozen=True, slots=True)
class Suspect:
    """``low`` to ``high`` is what it could explain, signed like the difference; ``booked``: the book has it already."""

    kind: str
    evidence: str
    low: Mass
    high: Mass
    sure: Sure
    do: str
    door: Door
    booked: bool = False

    @property
    def exact(self) -> bool:
        return self.low == self.high

    def leaves(self, difference: Mass) -> Mass:
        """How much of the difference is left, without a sign, when it explains as much as it can."""
        return max(self.low - difference, difference - self.high, ZERO)


@dataclass(frozen=True, slots=True)
class LeftOver:
    """What stays unexplained after the suspects on file, from ``low`` to ``high``, and the middle of it."""

    low: Mass
    high: Mass
    middle: Mass

    @property
    def within(self) -> bool:
        """Whether scales and fills alone can make it."""
        return self.low <= ZERO <= self.high


def grams_of(g: float) -> Mass:
    """A computed number of grams as a mass, for what is shown; nothing of it is booked."""
    return Mass(round(g * 1_000_000))


def said(mass: Mass) -> str:
    """Whole grams with a sign, as a sentence has them."""
    sign = "+" if mass > ZERO else "−" if mass < ZERO else ""
    return f"{sign}{abs(mass).rounded(Unit.G, 0):,}"


def ranked(suspects: Iterable[Suspect], difference: Mass) -> list[Suspect]:
    """By how sure, then by how close each brings the difference to nothing, the narrower first; booked ones last."""
    order = list(Sure)
    return sorted(
        suspects,
        key=lambda one: (
            one.booked,
            order.index(one.sure),
            one.leaves(difference),
            one.high - one.low,
            one.evidence,
        ),
    )


def left_over(suspects: Sequence[Suspect], difference: Mass, u_g: float) -> LeftOver:
    """The difference less what is on file, give or take what that is not exact in and two standard uncertainties."""
    on_file = [one for one in suspects if one.sure is Sure.ON_FILE and not one.booked]
    wide = grams_of(COVERS * u_g)
    least, most = total(one.low for one in on_file), total(one.high for one in on_file)
    low, high = difference - most - wide, difference - least + wide
    return LeftOver(low, high, Mass((low.ug + high.ug) // 2))


def listed(codes: Sequence[str], most: int = 6) -> str:
    """Some numbers for a sentence, the first few of many."""
    return ", ".join(codes[:most]) + (" …" if len(codes) > most else "")
