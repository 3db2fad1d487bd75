"""What ``bench`` measures about cans: the answer of the charge page's hint and of the sum, against a plain formula."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from compliance.management.alternating import Measure
from inventory.core.can import FlowJob, flow, small_can
from inventory.core.properties import FLUIDS
from shop.core.gauge import ATMOSPHERE, celsius

CALLS = 20  # in one timing: a call is shorter than the clock is good for


def can_measures(rounds: int) -> list[Measure]:
    """Where flow stops, both ends of the range, with and without heat: less than 1 ms on a quiet machine."""
    kelvin = celsius(20)
    job = FlowJob(small_can("R-1234yf", 0.2268), kelvin, kelvin, 0.0025, 0.08505, ATMOSPHERE)
    fluid = FLUIDS["R-1234yf"]
    ours = _median(lambda: flow(job), rounds)
    raw = _median(lambda: 0.0025 * fluid.vapour_density(kelvin), rounds)
    return [Measure("where a can's flow stops, against density times volume", ours, raw, None)]


def _median(work: Callable[[], object], rounds: int) -> float:
    """Milliseconds of one call."""
    times = []
    for _ in range(rounds + 1):
        began = time.perf_counter()
        for _ in range(CALLS):
            work()
        times.append((time.perf_counter() - began) * 1000 / CALLS)
    return statistics.median(times[1:])
