"""How long a CUSUM runs before it alarms, by a Markov chain: for the tests only."""

from __future__ import annotations

import math
from itertools import pairwise

STATES = 100


def average_run_length(shift: float, *, k: float = 0.5, h: float = 5.0) -> float:
    """Average number of values until a two-sided CUSUM of normal scores, shifted by so many sigma, alarms.

    Each side is a chain over its sum, cut into cells (Brook and Evans 1972, from memory); the two sides
    together alarm at the sum of their rates.
    """
    return 1 / (1 / _one_sided(shift, k, h) + 1 / _one_sided(-shift, k, h))


def _one_sided(shift: float, k: float, h: float) -> float:
    width = 2 * h / (2 * STATES - 1)
    rows = []
    for state in range(STATES):
        middle = state * width - k + shift
        steps = [_below((to + 0.5) * width - middle) for to in range(STATES)]
        stays = [steps[0], *(after - before for before, after in pairwise(steps))]
        rows.append([(to == state) - chance for to, chance in enumerate(stays)] + [1.0])
    return _solved(rows)[0]


def _below(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))


def _solved(rows: list[list[float]]) -> list[float]:
    """Gauss elimination; the matrix is diagonally dominant, so no pivot is sought."""
    size = len(rows)
    for pivot in range(size):
        for below in range(pivot + 1, size):
            factor = rows[below][pivot] / rows[pivot][pivot]
            if factor:
                rows[below] = [
                    one - factor * above for one, above in zip(rows[below], rows[pivot], strict=True)
                ]
    answer = [0.0] * size
    for place in reversed(range(size)):
        known = sum(rows[place][column] * answer[column] for column in range(place + 1, size))
        answer[place] = (rows[place][size] - known) / rows[place][place]
    return answer
