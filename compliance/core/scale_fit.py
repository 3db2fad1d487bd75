"""Whether a scale can show the label's tolerance with so many cans, asked before the first can is opened."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shop.core.answer import Answer
from shop.core.decision import combined, conformity, u_rectangular, u_resolution
from shop.core.findings import Weight
from shop.core.gauge import rounded
from shop.core.mass import ZERO, Mass
from shop.core.phrase import phrase

BASIS = phrase("GUM F.2.2.1 for each reading, two readings a can; JCGM 106 for the decision, 95 % and more")


@dataclass(frozen=True, slots=True)
class ScaleJob:
    """What is asked: a scale's division, cans, the label's tolerance either way, and the parts that no scale sees
    (half widths in g of hoses and purge; gain as a fraction of the charge)."""

    division: Mass
    cans: int
    tolerance: Mass
    label: Mass = ZERO
    gain: float = 0.0
    hoses_g: float = 0.0
    purge_g: float = 0.0


@dataclass(frozen=True, slots=True)
class ScaleFit:
    """``u_g`` is the standard uncertainty of the charge to come. ``may_miss_g`` is how far it may lie from the label
    and still be shown inside; None: not even a charge dead on the label could be shown. ``finest_g`` is the largest
    division that would do, 0 when no scale would."""

    job: ScaleJob
    u_g: float
    may_miss_g: float | None
    finest_g: float

    @property
    def shows(self) -> bool:
        return self.may_miss_g is not None


def scale_fit(job: ScaleJob) -> ScaleFit:
    """The budget of a charge before it is made (GUM), against a tolerance more than zero; cans at least one."""
    rest = combined(
        u_rectangular(job.gain * job.label.grams), u_rectangular(job.hoses_g), u_rectangular(job.purge_g)
    )
    readings = 2 * job.cans
    u = combined(math.sqrt(readings) * u_resolution(job.division.grams), rest)
    most = _largest_u(job.tolerance.grams)
    room = most * most - rest * rest
    finest = math.sqrt(room * 12 / readings) if room > 0 else 0.0
    return ScaleFit(job, u, _may_miss(u, job.tolerance.grams), finest)


def _largest_u(tolerance: float) -> float:
    low, high = 0.0, tolerance
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if conformity(0, middle, tolerance, tolerance) >= 0.95 else (low, middle)
    return low


def _may_miss(u: float, tolerance: float) -> float | None:
    if conformity(0, u, tolerance, tolerance) < 0.95:
        return None
    low, high = 0.0, tolerance
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if conformity(middle, u, tolerance, tolerance) >= 0.95 else (low, middle)
    return low


def scale_answer(fit: ScaleFit) -> Answer:
    """In words, with the numbers behind it."""
    job = fit.job
    cans = phrase("1 can") if job.cans == 1 else phrase("{cans} cans", cans=job.cans)
    tolerance = rounded(job.tolerance.grams, 0)
    numbers = (
        (
            phrase("Charge known to, give or take"),
            phrase("{twice} g (two standard uncertainties)", twice=rounded(2 * fit.u_g, 1)),
        ),
        (phrase("Worst case from the steps alone"), f"{rounded(2 * job.cans * job.division.grams / 2, 1)} g"),
    )
    if fit.may_miss_g is not None:
        headline = phrase(
            "This scale can show ± {tolerance} g with {cans}, if the charge lands within {miss} g of the label.",
            tolerance=tolerance,
            cans=cans,
            miss=rounded(math.floor(fit.may_miss_g), 0),
        )
        return Answer(headline, numbers=numbers, basis=BASIS)
    headline = phrase(
        "This scale cannot show ± {tolerance} g with {cans}, not even for a charge dead on the label.",
        tolerance=tolerance,
        cans=cans,
    )
    advice = (
        phrase(
            "A scale with steps of {step} g or finer could.",
            step=rounded(math.floor(fit.finest_g * 10) / 10, 1),
        )
        if fit.finest_g >= 0.1
        else phrase(
            "No scale could: the hose allowance alone is wider than the tolerance. Measure the hoses."
        )
    )
    return Answer(headline, (advice,), numbers, Weight.WARNS, BASIS)
