"""Four independent closures of a period, the uncertainty of its difference, and the control chart (tabular CUSUM).

The heel is never defined as label less draw: such a balance closes by construction and can show nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from inventory.core.weighing_rules import LABEL_FILL_SPREAD_G as FILL_SPREAD_G
from shop.core.decision import combined, u_rectangular, u_resolution


@dataclass(frozen=True, slots=True)
class Closure:
    """A residual and its standard uncertainty in grams, and what a large one points at."""

    name: str
    residual_g: float
    u_g: float
    looks_at: str

    @property
    def score(self) -> float:
        return self.residual_g / self.u_g if self.u_g else 0.0


def count_closure(expected: int, counted: int, net_g: float) -> Closure:
    """Sealed cans counted less those expected, as grams of label net. Counting has no uncertainty of its own."""
    u = FILL_SPREAD_G * math.sqrt(abs(counted - expected)) if counted != expected else 0.0
    return Closure("count", (counted - expected) * net_g, u, "a missing or uncounted can")


def shelf_continuity(previous_g: float, now_g: float, division_g: float) -> Closure:
    """A can's first weight on a job less its last one before: what it lost on the shelf."""
    return Closure(
        "shelf", now_g - previous_g, division_g / math.sqrt(6), "a leaking valve, or use without a ticket"
    )


def can_closure(gross_sealed_g: float, empty_g: float, net_g: float, division_g: float) -> Closure:
    """What a can gave from sealed to empty less its label net."""
    u = math.hypot(division_g / math.sqrt(6), FILL_SPREAD_G)
    return Closure("can", gross_sealed_g - empty_g - net_g, u, "scale gain or zero, or short fill")


def job_closure(recorded_g: float, recomputed_g: float, division_g: float, cans: int) -> Closure:
    """What the book has out of a job's cans less the difference of their tickets."""
    return Closure(
        "job",
        recorded_g - recomputed_g,
        division_g * math.sqrt(max(cans, 1) / 6),
        "typing, or label weight used",
    )


def period_u(
    *,
    cans_opened: int,
    draws: int,
    division_g: float,
    part_cans: int,
    gain_half_width: float,
    gain_base_g: float,
    fill_spread_g: float = FILL_SPREAD_G,
    shell_spread_g: float = 0.0,
) -> float:
    """Standard uncertainty, in grams, of expected against counted over a period.

    Each can opened brings the spread of its fill, each draw two readings, each part can its weight and shell, and the
    scale's gain one term common to all, on everything that was weighed.
    """
    return combined(
        fill_spread_g * math.sqrt(cans_opened),
        u_resolution(division_g) * math.sqrt(2 * draws),
        math.sqrt(part_cans) * combined(u_resolution(division_g), u_rectangular(shell_spread_g)),
        u_rectangular(gain_half_width * gain_base_g),
    )


@dataclass(frozen=True, slots=True)
class CusumPoint:
    """Both sums after one value, and whether either is over h."""

    upper: float
    lower: float
    alarm: bool


def cusum(
    values: Iterable[float], *, target: float = 0.0, k: float = 0.5, h: float = 5.0
) -> list[CusumPoint]:
    """Two-sided tabular CUSUM. For scores: target 0, k 0.5, h 5. An alarm asks for a look and does not reset itself."""
    points: list[CusumPoint] = []
    upper = lower = 0.0
    for value in values:
        upper = max(0.0, upper + value - target - k)
        lower = max(0.0, lower + target - value - k)
        points.append(CusumPoint(upper, lower, upper > h or lower > h))
    return points
