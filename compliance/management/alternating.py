"""One measure, and how it is taken: ours and the raw work in turn."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Measure:
    name: str
    ours_ms: float
    raw_ms: float
    aim: float | None


def alternating(ours: Callable[[], object], raw: Callable[[], object], rounds: int) -> tuple[float, float]:
    """Medians in milliseconds, one of each in turn after one warm-up."""
    ours(), raw()
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(rounds):
        for which, work in enumerate((ours, raw)):
            began = time.perf_counter()
            work()
            times[which].append((time.perf_counter() - began) * 1000)
    return statistics.median(times[0]), statistics.median(times[1])
