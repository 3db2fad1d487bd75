"""Uncertainty and conformity: what a set of readings can show, and what it cannot.

JCGM 100 (GUM): a reading to a division d has u = d/sqrt(12); limits of plus or minus a have u = a/sqrt(3); independent
parts add in quadrature. JCGM 106: conformity is decided by its probability.
"""

from __future__ import annotations

import math
from enum import StrEnum


class Verdict(StrEnum):
    SHOWN = "shown"
    NOT_SHOWN = "not shown"
    OUTSIDE = "outside"
    NONE = "no verdict"


def u_resolution(division_g: float) -> float:
    """Standard uncertainty of one reading on a display with this division (GUM F.2.2.1)."""
    return division_g / math.sqrt(12)


def u_rectangular(half_width: float) -> float:
    """Standard uncertainty of a value known only to lie within plus or minus this (GUM 4.3.7)."""
    return half_width / math.sqrt(3)


def combined(*parts: float) -> float:
    """Root sum of squares of independent parts."""
    return math.hypot(*parts)


def conformity(deviation: float, u: float, below: float, above: float) -> float:
    """Probability that the true deviation lies within -below..+above, for a normal distribution (JCGM 106, 7)."""
    if u <= 0:
        return 1.0 if -below <= deviation <= above else 0.0
    return _phi((above - deviation) / u) - _phi((-below - deviation) / u)


def verdict(probability: float | None) -> Verdict:
    """Shown from 95 %, outside up to 5 %, not shown either way between; the probability is not rounded up."""
    if probability is None:
        return Verdict.NONE
    if probability >= 0.95:
        return Verdict.SHOWN
    return Verdict.OUTSIDE if probability <= 0.05 else Verdict.NOT_SHOWN


def largest_u(tolerance: float) -> float:
    """The largest u with which a charge exactly on target can be shown to lie within plus or minus this, at 95 %."""
    return tolerance / 1.959963984540054


def _phi(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))
