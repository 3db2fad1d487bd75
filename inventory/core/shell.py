"""What an empty can of one kind weighs, learned from the empties that went over the scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from shop.core.answer import Answer
from shop.core.decision import u_resolution
from shop.core.findings import Weight
from shop.core.mass import Mass, Unit, grams
from shop.core.phrase import phrase

SPREAD_G = 4  # how far a shell may lie from one that was weighed; common practice, no source
ESTIMATE_G = 10  # from one that was only estimated; the tool's own choice, no source
FEWEST = 3  # empties; with fewer a spread says next to nothing
MOST = 30  # the newest empties of a kind; older cans may have come from other tools
# t for 95 % both ways by degrees of freedom (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2)
STUDENT = {
    2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 6: 2.447, 7: 2.365, 8: 2.306, 9: 2.262, 10: 2.228,
    11: 2.201, 12: 2.179, 13: 2.160, 14: 2.145, 15: 2.131, 16: 2.120, 17: 2.110, 18: 2.101, 19: 2.093,
    20: 2.086, 21: 2.080, 22: 2.074, 23: 2.069, 24: 2.064, 25: 2.060, 26: 2.056, 27: 2.052, 28: 2.048,
    29: 2.045,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Learned:
    """So many empties weighed ``mean`` (to 0.1 g); the next shell lies within ``give_or_take`` of it (whole grams,
    upwards). ``deviation`` is the standard deviation, in grams."""

    number: int
    mean: Mass
    deviation: float
    give_or_take: int


def mean_and_deviation(weights: Sequence[float]) -> tuple[float, float]:
    """Mean and standard deviation with n - 1 of two numbers or more."""
    mean = math.fsum(weights) / len(weights)
    return mean, math.sqrt(math.fsum((one - mean) ** 2 for one in weights) / (len(weights) - 1))


def learned(weights: Sequence[Mass], division: Mass) -> Learned | None:
    """From the weights of empties, the newest first, on scales no coarser than ``division``; None with fewer than
    three.

    What counts is where the next shell will lie: t s sqrt(1 + 1/n), as for the hoses, and never less than a display
    with this division can tell (2 u, u = d/sqrt(12)), nor less than one gram.
    """
    newest = [one.grams for one in weights[:MOST]]
    if len(newest) < FEWEST:
        return None
    mean, deviation = mean_and_deviation(newest)
    wide = STUDENT[len(newest) - 1] * deviation * math.sqrt(1 + 1 / len(newest))
    most = Decimal(max(wide, 2 * u_resolution(division.grams), 1.0)).quantize(Decimal(1), ROUND_CEILING)
    return Learned(len(newest), grams(Decimal(mean).quantize(Decimal("0.1"))), deviation, int(most))


def learned_answer(found: Learned | None, so_far: int, nominal: Mass, basis: str) -> Answer:
    """In words, beside what is used now."""
    now = phrase("{nominal} g, {basis}", nominal=nominal.rounded(Unit.G, 1), basis=basis)
    if found is None:
        headline = phrase("{number} of {fewest} empties weighed.", number=so_far, fewest=FEWEST)
        says = (phrase("The shell is learned from three empties: weigh each bare when nothing is left."),)
        return Answer(headline, says, ((phrase("Used now"), now),))
    headline = phrase(
        "{number} empties weighed {mean} g, give or take {wide} g for one shell.",
        number=found.number,
        mean=found.mean.rounded(Unit.G, 1),
        wide=found.give_or_take,
    )
    off = abs(found.mean - nominal) > grams(found.give_or_take)
    far = phrase("What is used now lies outside that. Look whether the empties are all of this kind.")
    numbers = (
        (phrase("Used now"), now),
        (phrase("Standard deviation"), f"{found.deviation:.1f} g"),
    )
    basis_of = phrase(
        "mean of the newest {number}; Student t, 95 percent, for one more shell", number=found.number
    )
    return Answer(headline, (far,) if off else (), numbers, Weight.WARNS if off else Weight.NOTE, basis_of)
