"""What a hose holds, computed from its length and bore; and what a hose set held, measured by weighing the can.

Computed: V = pi/4 d² L times the density of the end state. Measured: one can fills the evacuated set three times and is
weighed before the first and after each filling.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from enum import StrEnum
from itertools import pairwise

from inventory.core.can import vapour_held
from inventory.core.properties import EQUATIONS, FLUIDS
from inventory.core.weighing import u_difference
from shop.core.answer import Answer
from shop.core.findings import Finding, Weight, blocked
from shop.core.gauge import celsius, in_celsius, in_fahrenheit, in_psig, rounded
from shop.core.mass import ZERO, Mass, Unit, grams
from shop.core.phrase import phrase

SHORTEST, LONGEST = 0.2, 3.0  # m
NARROWEST, WIDEST = 0.003, 0.008  # m
COLDEST_HOSE, HOTTEST_HOSE = celsius(-20), celsius(60)
FILLINGS = 3
STUDENT = 4.303  # t for 95 % both ways and two degrees of freedom (JCGM 100:2008, table G.2)
MOST = grams(60)  # the shop rule's own bound: no hose set of this trade takes more


class HoseEnd(StrEnum):
    """How a hose was left."""

    LIQUID = phrase("full of liquid")
    SATURATED = phrase("vapour, at the can's pressure")
    SUPERHEATED = phrase("vapour, at the gauge's pressure")


@dataclass(frozen=True, slots=True)
class HoseJob:
    """``number`` hoses of ``length`` and ``bore`` (m) at ``kelvin``; ``pressure`` (Pa absolute) counts for superheated
    vapour only, and ``air`` (Pa) is what a gauge counts from."""

    refrigerant: str
    length: float
    bore: float
    end: HoseEnd
    kelvin: float
    air: float
    number: int = 1
    pressure: float | None = None


def hose_volume(length: float, bore: float) -> float:
    """m³ of a round hose, both in m."""
    return math.pi / 4 * bore**2 * length


def hose_held(job: HoseJob) -> float:
    """Kg in the hoses of a job without problems."""
    fluid, volume = FLUIDS[job.refrigerant], job.number * hose_volume(job.length, job.bore)
    if job.end is HoseEnd.LIQUID:
        return volume * fluid.liquid_density(job.kelvin)
    pressure = job.pressure if job.end is HoseEnd.SUPERHEATED else None
    pascal = fluid.pressure(job.kelvin) if pressure is None else pressure
    return vapour_held(job.refrigerant, volume, job.kelvin, pascal) or 0.0


def hose_problems(job: HoseJob) -> list[Finding]:
    """What stands against asking, each beside its field."""
    found = []
    if not SHORTEST <= job.length <= LONGEST:
        sentence = phrase("One hose is 8 to 118 in (0.2 to 3 m) long. Take longer ones in parts.")
        found.append(blocked("hose-length", sentence, "length"))
    if not NARROWEST <= job.bore <= WIDEST:
        sentence = phrase("The bore is 0.12 to 0.31 in (3 to 8 mm). Not the outside: the hole.")
        found.append(blocked("hose-bore", sentence, "bore"))
    if not COLDEST_HOSE <= job.kelvin <= HOTTEST_HOSE:
        sentence = phrase("Type a temperature from −4 to 140 °F (−20 to 60 °C).")
        found.append(blocked("hose-temperature", sentence, "hose_at"))
    elif job.end is HoseEnd.SUPERHEATED:
        found += _gauge_problems(job)
    return found


def _gauge_problems(job: HoseJob) -> list[Finding]:
    if job.pressure is None:
        return [blocked("hose-gauge", phrase("Type what the gauge showed, for example 30 psi."), "gauge")]
    if job.pressure < 0:
        sentence = phrase("That is below an empty hose. Check the gauge and its unit.")
        return [blocked("hose-gauge", sentence, "gauge")]
    saturated = FLUIDS[job.refrigerant].pressure(job.kelvin)
    if job.pressure <= saturated:
        return []
    sentence = phrase(
        "{code} at this temperature is liquid above {most} psi. Take it as full of liquid, or check the reading.",
        code=job.refrigerant,
        most=rounded(in_psig(saturated, job.air), 0),
    )
    return [blocked("hose-condenses", sentence, "gauge")]


def hose_answer(job: HoseJob) -> Answer:
    """In words: the grams, beside what the same hose holds of vapour and of liquid."""
    found = hose_problems(job)
    if found:
        return Answer(found[0].message, weight=found[0].weight)
    held, volume = hose_held(job), job.number * hose_volume(job.length, job.bore)
    fluid = FLUIDS[job.refrigerant]
    headline = phrase(
        "{held} g of {code} stay in there, {end}.",
        held=_grams(held),
        code=job.refrigerant,
        end=job.end,
    )
    says = (
        phrase("Computed for a plain hose. Manifold, oil and couplers come on top: measure the set itself."),
    )
    numbers = (
        (phrase("Room inside"), f"{rounded(volume * 1e6, 1)} mL"),
        (phrase("Full of liquid it holds"), f"{_grams(volume * fluid.liquid_density(job.kelvin))} g"),
        (
            phrase("Full of vapour it holds at most"),
            f"{_grams(volume * fluid.vapour_density(job.kelvin))} g",
        ),
        (
            phrase("Taken at"),
            f"{rounded(in_fahrenheit(job.kelvin), 0)} °F ({rounded(in_celsius(job.kelvin), 0)} °C)",
        ),
    )
    return Answer(
        headline, says, numbers, basis=phrase("pi/4 d² L times density; {version}", version=EQUATIONS)
    )


def _grams(kilograms: float) -> str:
    """Two decimals for what is less than a gram, one for the rest."""
    mass = kilograms * 1000
    return rounded(mass, 2 if mass < 1 else 1)


# --- Measured


@dataclass(frozen=True, slots=True)
class HoseResult:
    """The three fillings, what to allow for one, and how far the next one may lie from it. Both rounded to 0.1 g, the
    second one upwards."""

    fillings: tuple[Mass, ...]
    allowance: Mass
    give_or_take: Mass

    @property
    def is_wide(self) -> bool:
        """Whether the fillings differ so much that the next one may be nothing, or double."""
        return self.give_or_take >= self.allowance


def hose_result(weights: Sequence[Mass], division: Mass) -> HoseResult:
    """From the can's weights, before the first filling and after each of ``FILLINGS``, on one scale.

    A charge fills the hoses once more, so what counts is where a fourth filling will lie: the mean give or take
    t s sqrt(1 + 1/n), and never less than two readings can tell apart (2 u, u = d/sqrt(6)).
    """
    fillings = tuple(one - other for one, other in pairwise(weights))
    mean = sum(one.grams for one in fillings) / len(fillings)
    spread = math.sqrt(sum((one.grams - mean) ** 2 for one in fillings) / (len(fillings) - 1))
    wide = max(STUDENT * spread * math.sqrt(1 + 1 / len(fillings)), 2 * u_difference(division))
    most = Decimal(wide).quantize(Decimal("0.1"), ROUND_CEILING)
    return HoseResult(fillings, grams(Decimal(mean).quantize(Decimal("0.1"))), grams(most))


def fillings_problems(weights: Sequence[Mass], fields: Sequence[str]) -> list[Finding]:
    """Fillings that cannot be, each beside the weight after it."""
    found = []
    for (before, after), field in zip(pairwise(weights), fields[1:], strict=True):
        if before - after <= ZERO:
            sentence = phrase(
                "Nothing left the can. Was its tap open and the set evacuated? If so, this scale is too coarse for"
                " these hoses."
            )
            found.append(blocked("filling-nothing", sentence, field))
        elif before - after > MOST:
            sentence = phrase(
                "{mass} g is more than hoses take ({most} g at most). Was a valve to a car or machine open?",
                mass=(before - after).rounded(Unit.G, 0),
                most=MOST.rounded(Unit.G, 0),
            )
            found.append(blocked("filling-absurd", sentence, field))
    return found


def result_answer(result: HoseResult) -> Answer:
    """In words, with the fillings behind it."""
    headline = phrase(
        "{mean} g stay in these hoses, give or take {wide} g.",
        mean=result.allowance.rounded(Unit.G, 1),
        wide=result.give_or_take.rounded(Unit.G, 1),
    )
    says = (
        (
            phrase(
                "The fillings differ too much to be of use. Evacuate longer between them and measure again."
            ),
        )
        if result.is_wide
        else ()
    )
    numbers = tuple(
        (phrase("Filling {place}", place=place), f"{mass.rounded(Unit.G, 1)} g")
        for place, mass in enumerate(result.fillings, 1)
    )
    basis = phrase(
        "mean of three; Student t, 95 %, for one more filling, and not less than two readings of the scale can tell"
    )
    return Answer(headline, says, numbers, Weight.WARNS if result.is_wide else Weight.NOTE, basis)
