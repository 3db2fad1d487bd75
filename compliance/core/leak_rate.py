"""How fast a vehicle loses refrigerant: what was put in on its last visit against what is weighed out on this one.

The scale is the small part of the doubt; what a recovery machine leaves in the system is the large one. So the rate
carries an efficiency with its own uncertainty, and is not given where that is not known. Uncertainties are standard
(GUM 5.1); conformity goes by probability (JCGM 106). No federal rule asks for this: it is a shop's finding.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from compliance.core.stages import Compressor
from shop.core.decision import combined, conformity, u_rectangular
from shop.core.gauge import celsius, temperature_shown
from shop.core.house import HouseRules
from shop.core.mass import Mass, grams
from shop.core.phrase import phrase

YEAR = 365.25  # days
FEWEST_DAYS, SURE = (
    90,
    5,
)  # fewer days are not made a year unless the loss is so many u; the tool's own choice
COVERAGE = 2
UP_TO_G, NORMAL, NORMAL_SHARE = 733.0, 11.0, 0.015  # g, g a year, of the capacity: 40 CFR 86.1867-12(b)(1)
WORTH_SAYING = 15.0  # g a year; the tool's own choice
ONE_EVAPORATOR, TWO_EVAPORATORS = 40.0, 60.0  # g a year, type approval: Directive 2006/40/EC
RATED_AT_LEAST = {Compressor.BELT: 8.3, Compressor.ELECTRIC: 4.1}  # g a year: 40 CFR 86.1867-12(b)(1)
COMEBACK_SHARE, COMEBACK_U = 0.10, 3  # of the label, and so many u; the tool's own choice
LEAST, MOST = grams(200), grams(3000)  # charges that this is for
SAME_LABEL = grams(5)  # one label in two units and roundings; the tool's own choice
NEARLY_EMPTY = 0.05

OLDER = ("J1732", "J1990", "J2209", "J2210")  # standards before SAE J2788 and J2810
LEFT_AT_21, LEFT_AT_10 = (
    0.18,
    0.30,
)  # what such equipment left behind, SAE J2762 summary; more than that, it says
ASKED_OF_PRESENT = 0.95  # of what is in it, in 30 min at 21 to 24 °C: SAE J2788:2020
WARM, COLD = celsius(21), celsius(10)


@dataclass(frozen=True, slots=True)
class Recovering:
    """Which part of a charge a recovery takes out: a fraction, its standard uncertainty, and why that one."""

    part: float
    u: float
    why: str


def recovering(rules: HouseRules, standards: Sequence[str] = (), bay: str = "") -> Recovering | None:
    """By the shop's rule; older equipment by what was found of it. ``standards`` are those on the machines' plates,
    ``bay`` the bay's temperature as typed. None: too cold for older equipment, nobody published how much it leaves."""
    kelvin = temperature_shown(bay)
    if any(name in plate.upper().replace(" ", "") for plate in standards for name in OLDER):
        return _older(kelvin)
    part, half = float(rules.recovery_percent) / 100, float(rules.recovery_give_or_take_percent) / 100
    if kelvin is not None and kelvin < WARM:
        why = phrase("shop rule, give or take doubled: the bay was colder than 70 °F (tool's own choice)")
        return Recovering(part, u_rectangular(2 * half), why)
    return Recovering(part, u_rectangular(half), phrase("shop rule"))


def _older(kelvin: float | None) -> Recovering | None:
    """Straight between the two temperatures that were published; half widths are the tool's own choice."""
    if kelvin is None:
        part, half = 1 - (LEFT_AT_21 + LEFT_AT_10) / 2, 0.12
    elif kelvin < COLD:
        return None
    else:
        warmth = min((kelvin - COLD) / (WARM - COLD), 1.0)
        part, half = 1 - LEFT_AT_10 + warmth * (LEFT_AT_10 - LEFT_AT_21), 0.06
    why = phrase("older equipment, SAE J2762 summary; give or take is the tool's own choice")
    return Recovering(part, u_rectangular(half), why)


@dataclass(frozen=True, slots=True)
class Filled:
    """What the last charge left in the system. ``total_known``: the system had been emptied before it."""

    job: str
    mass: Mass
    u_g: float
    refrigerant: str
    label: Mass | None
    total_known: bool = True

    @property
    def capacity(self) -> Mass:
        """What the label asks for, or what went in where no label was known."""
        return self.label if self.label is not None else self.mass


@dataclass(frozen=True, slots=True)
class Found:
    """What this visit took out, weighed; None when nothing was recovered. ``topped_up`` went in without recovery,
    ``elsewhere`` is what was done at another place since, ``opened_in`` a job of ours since that opened the system."""

    mass: Mass | None
    u_g: float
    refrigerant: str
    label: Mass | None
    topped_up: Mass | None = None
    mixed: bool = False
    elsewhere: str = ""
    opened_in: str = ""


@dataclass(frozen=True, slots=True)
class SinceLast:
    """Both ends of the time between two visits, and what the shop's rules say about it."""

    filled: Filled
    found: Found
    days: int
    recovering: Recovering | None
    warranty_days: int = 0
    evaporators: int = 1
    compressor: str = Compressor.BELT


@dataclass(frozen=True, slots=True)
class Unknown:
    """Why there is no rate, as a whole sentence; ``at_least`` is a lower bound of what was lost, where there is one."""

    reason: str
    at_least: Mass | None = None


@dataclass(frozen=True, slots=True)
class LeakRate:
    """Grams lost since the last charge and grams a year, each with its standard uncertainty.

    ``per_year`` is None when the days are too few to make a year of them.
    """

    since: SinceLast
    part: Recovering
    loss: float
    u_loss: float
    per_year: float | None
    u_per_year: float

    @property
    def normal(self) -> float:
        """The most that counts as normal, g a year: a large system may lose more."""
        capacity = self.since.filled.capacity.grams
        return NORMAL if capacity <= UP_TO_G else NORMAL_SHARE * capacity

    @property
    def bad(self) -> float:
        """Beyond this no car is type-approved, g a year."""
        return TWO_EVAPORATORS if self.since.evaporators > 1 else ONE_EVAPORATOR

    @property
    def is_shown(self) -> bool:
        """Whether a loss can be told from none."""
        return self.loss > COVERAGE * self.u_loss

    @property
    def is_above_normal(self) -> bool:
        return self.per_year is not None and self.per_year > WORTH_SAYING and self.chance(self.normal) >= 0.95

    @property
    def wants_repair(self) -> bool:
        return self.chance(self.bad) >= 0.95

    @property
    def is_comeback(self) -> bool:
        """Within the shop's warranty, and surely more gone than a tenth of the label."""
        return (
            self.since.days <= self.since.warranty_days
            and self.loss > COMEBACK_U * self.u_loss
            and self.loss > COMEBACK_SHARE * self.since.filled.capacity.grams
        )

    @property
    def is_flagged(self) -> bool:
        return self.is_above_normal or self.wants_repair or self.is_comeback

    @property
    def was_nearly_empty(self) -> bool:
        found = self.since.found.mass
        return found is not None and found.grams < NEARLY_EMPTY * self.since.filled.mass.grams

    def chance(self, limit: float) -> float:
        """Probability that the rate is above a limit in g a year; 0 where there is no rate."""
        return (
            conformity(self.per_year - limit, self.u_per_year, 0.0, math.inf)
            if self.per_year is not None
            else 0.0
        )


def leak_rate(since: SinceLast) -> LeakRate | Unknown:
    """loss = filled - recovered / part, u by the root sum of squares of its three inputs; or why it is not known."""
    reason = _unknown_because(since)
    if reason is not None:
        return reason
    found, part = since.found, since.recovering
    assert found.mass is not None and part is not None  # noqa: S101, PT018 - else it was unknown
    loss = since.filled.mass.grams - found.mass.grams / part.part
    u = combined(since.filled.u_g, found.u_g / part.part, found.mass.grams * part.u / part.part**2)
    a_year = YEAR / since.days
    known = since.days >= FEWEST_DAYS or loss > SURE * u
    return LeakRate(since, part, loss, u, loss * a_year if known else None, u * a_year)


def _unknown_because(since: SinceLast) -> Unknown | None:
    filled, found = since.filled, since.found
    if not filled.total_known:
        return Unknown(
            phrase("{job} was a top-up: what the system held after it is not known.", job=filled.job)
        )
    return _changed(filled, found) or _not_weighed(found) or _not_this_sum(since)


def _changed(filled: Filled, found: Found) -> Unknown | None:
    """What happened to the system since, other than leaking."""
    if found.elsewhere:
        return Unknown(
            phrase("The system was opened or charged since: {elsewhere}.", elsewhere=found.elsewhere)
        )
    if found.opened_in:
        return Unknown(phrase("The system was opened since, in {job}.", job=found.opened_in))
    if found.refrigerant != filled.refrigerant:
        return Unknown(
            phrase(
                "The refrigerant was changed: {then} in {job}, {now} now.",
                then=filled.refrigerant,
                job=filled.job,
                now=found.refrigerant,
            )
        )
    if filled.label is not None and found.label is not None and abs(found.label - filled.label) > SAME_LABEL:
        return Unknown(
            phrase("The label does not say what it said in {job}. Is it the same car?", job=filled.job)
        )
    return None


def _not_weighed(found: Found) -> Unknown | None:
    if found.mixed:
        return Unknown(
            phrase("What came out is mixed or unknown: its mass is not the mass of what was put in.")
        )
    if found.mass is not None:
        return None
    if found.topped_up is None:
        return Unknown(phrase("Nothing was recovered on this visit, so nobody weighed what was left."))
    sentence = phrase("It was topped up without recovery: nobody weighed what was left.")
    return Unknown(sentence, at_least=found.topped_up)


def _not_this_sum(since: SinceLast) -> Unknown | None:
    filled, found = since.filled, since.found
    if since.days < 1:
        return Unknown(phrase("{job} was less than a day ago.", job=filled.job))
    if not LEAST <= filled.mass <= MOST:
        return Unknown(phrase("This is worked out for charges of 200 to 3,000 g only."))
    if since.recovering is None:
        return Unknown(
            phrase(
                "The bay was below 50 °F (10 °C); how much older equipment leaves behind then is not known."
            )
        )
    over = found.mass.grams - filled.mass.grams if found.mass is not None else 0.0
    if over > 3 * combined(filled.u_g, found.u_g):
        return Unknown(
            phrase(
                "More came out than {job} put in: charged elsewhere, oil or air in the cylinder, or another car.",
                job=filled.job,
            )
        )
    return None
