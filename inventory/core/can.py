"""What a small can does while it gives vapour: its pressure, its heel, how it chills, and where its flow stops.

A can is taken as rigid, with liquid and vapour at one temperature, its steel as cold as they are. Without heat from
outside, what the leaving vapour carries away comes out of both: d(U) = h_v dm. Kg, m³, K and Pa absolute inside; the
words are in inventory.core.can_words. Nothing here raises: what an equation does not cover comes back as None.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from inventory.core.properties import COLDEST, FLUIDS, VAPOUR_COLDEST, VAPOUR_HOTTEST, Fluid
from shop.core.findings import Finding, blocked
from shop.core.gauge import celsius, fahrenheit
from shop.core.mass import Mass, Unit, grams
from shop.core.phrase import phrase
from shop.core.rule_rows import NOTE, Look, Row

CAN_LIMIT = fahrenheit(125)  # storage limit printed on cans and cylinders (52 °C; from memory). No override.
WARMEST_WATER = celsius(40)  # 104 °F, as the caution SLOW_CAN has it
WATER_HEAT = 4_180.0  # J/(kg K)
STEEL_HEAT = 470.0  # J/(kg K), mild steel, from memory
FULL_AT = fahrenheit(130)  # a can's liquid must not fill it at this temperature (49 CFR 173.306, from memory)
ROOM = 1.1  # cans are a tenth larger than that; from two cans that were measured, 255 mL for 8 oz and 347 for 12 oz
STEEL_SHARE = 0.37  # of the net, from the same two: 85 g and 110 g
COLDEST_ASKED, HOTTEST_ASKED = celsius(-20), celsius(60)
SMALLEST_NET, LARGEST_NET = 0.085, 0.450  # kg
SMALLEST_SYSTEM, LARGEST_SYSTEM = 0.0008, 0.008  # m³
USUAL_SYSTEM = 0.0025  # m³ of a car's system; the tool's own choice
VOLUME_SPREAD = 0.3  # how far a guess of a system's volume may be off, either way
CHILLS = grams(40)  # vapour drawn at a go after which a can is cold enough to sweat
STEP = 3.0  # K of one step down; a tenth of it changes no result by 0.05 g


COLD_WET = Row(
    "cold-wet",
    NOTE,
    "reading",
    (">", "drawn", f"{CHILLS.to(Unit.G):f} g"),
    phrase(
        "{drawn} g went out: as vapour that leaves the can cold and wet. Wipe it and wait. Water weighs 1 to 2 g, hides"
        " what was drawn, and so overcharges."
    ),
    {"drawn": ("g", "drawn")},
)


@dataclass(frozen=True, slots=True)
class SmallCan:
    """A can with ``net`` kg in it, ``steel`` kg around it and ``volume`` m³ of room."""

    refrigerant: str
    net: float
    steel: float
    volume: float

    @property
    def fluid(self) -> Fluid:
        return FLUIDS[self.refrigerant]


def small_can(refrigerant: str, net: float, steel: float | None = None) -> SmallCan:
    """A can of one of ``FLUIDS`` by its label net (kg); its volume, and its steel when nobody weighed it, as cans of
    the trade have it (see ``ROOM`` and ``STEEL_SHARE``)."""
    volume = ROOM * smallest_volume(refrigerant, net)
    return SmallCan(refrigerant, net, STEEL_SHARE * net if steel is None else steel, volume)


def smallest_volume(refrigerant: str, net: float) -> float:
    """The can (m³) that ``net`` kg would fill with liquid at 130 °F."""
    return net / FLUIDS[refrigerant].liquid_density(FULL_AT)


def vapour_held(refrigerant: str, volume: float, kelvin: float, pascal: float) -> float | None:
    """Kg of vapour in a volume (m³) under a pressure: a can's heel, a hose, a system. Never more than saturated."""
    fluid = FLUIDS.get(refrigerant)
    if fluid is None or not VAPOUR_COLDEST <= kelvin <= min(VAPOUR_HOTTEST, HOTTEST_ASKED):
        return None
    if not 0 <= pascal < math.inf:
        return None
    full = fluid.vapour_density(kelvin)
    if pascal >= fluid.pressure(kelvin):
        return volume * full
    return volume * min(fluid.superheated_density(kelvin, pascal), full)


def chilled(can: SmallCan, kelvin: float, drawn: float) -> float | None:
    """How cold (K) a can at ``kelvin`` is after ``drawn`` kg of vapour left it and no heat came in. None when it runs
    out of liquid before, or gets colder than the equations go."""
    for (warm, less), (cold, more) in pairwise(_cooling(can, kelvin)):
        if more >= drawn:
            return warm + (cold - warm) * (drawn - less) / (more - less)
    return None


@dataclass(frozen=True, slots=True)
class Stall:
    """Where flow stops by itself: ``drawn`` kg went over, and the can is at ``kelvin``."""

    drawn: float
    kelvin: float


def kept_warm(can: SmallCan, kelvin: float, system: float, volume: float) -> Stall | None:
    """Where vapour stops flowing into ``volume`` m³ at ``system`` K from a can held at ``kelvin``. None when it does
    not stop: a can warmer than the system gives until it is empty, as liquid forms in the system."""
    if kelvin > system:
        return None
    held = vapour_held(can.refrigerant, volume, system, can.fluid.pressure(kelvin))
    return None if held is None or held >= can.net else Stall(held, kelvin)


def unheated(can: SmallCan, kelvin: float, system: float, volume: float) -> Stall | None:
    """The same from a can that gets no heat at all. None when it is empty before."""
    return _unheated(can, tuple(_cooling(can, kelvin)), system, volume)


def heat_needed(refrigerant: str, mass: float, kelvin: float) -> float:
    """J to evaporate ``mass`` kg at a temperature that the equations cover."""
    return mass * FLUIDS[refrigerant].heat_of_vaporisation(kelvin)


def water_cools(heat: float, litres: float = 1.0) -> float:
    """By how many K so much water cools when it gives ``heat`` J."""
    return heat / (WATER_HEAT * litres)


@dataclass(frozen=True, slots=True)
class FlowJob:
    """What is asked: the can (K), the system (K, m³, evacuated, known to ``VOLUME_SPREAD``), what shall go over (kg;
    0 when nothing is asked for), and the air (Pa) that a gauge counts from."""

    can: SmallCan
    kelvin: float
    system: float
    volume: float
    target: float
    air: float


@dataclass(frozen=True, slots=True)
class Flow:
    """Each a pair for the small and the large system; None in it: flow does not stop there."""

    job: FlowJob
    unheated: tuple[Stall | None, Stall | None]
    kept_warm: tuple[Stall | None, Stall | None]

    @property
    def falls_short(self) -> bool:
        """Whether flow may stop before the target when nobody warms the can."""
        return any(one is not None and one.drawn < self.job.target for one in self.unheated)


def flow(job: FlowJob) -> Flow:
    """Where flow stops, for a job without problems."""
    can, spread = job.can, (job.volume * (1 - VOLUME_SPREAD), job.volume * (1 + VOLUME_SPREAD))
    path = tuple(_cooling(can, job.kelvin))
    small, large = (_unheated(can, path, job.system, volume) for volume in spread)
    least, most = (kept_warm(can, job.kelvin, job.system, volume) for volume in spread)
    return Flow(job, (small, large), (least, most))


def flow_problems(job: FlowJob) -> list[Finding]:
    """What stands against asking, each beside its field. A can above its limit stands first."""
    if job.kelvin > CAN_LIMIT:
        return [too_hot()]
    found = []
    if not SMALLEST_NET <= job.can.net <= LARGEST_NET:
        found.append(
            blocked("can-net", phrase("A small can holds 85 to 450 g. Read its label again."), "net")
        )
    for kelvin, field in ((job.kelvin, "can_at"), (job.system, "system_at")):
        if not COLDEST_ASKED <= kelvin <= HOTTEST_ASKED:
            sentence = phrase("Type a temperature from −4 to 140 °F (−20 to 60 °C).")
            found.append(blocked("can-temperature", sentence, field))
    if not SMALLEST_SYSTEM <= job.volume <= LARGEST_SYSTEM:
        found.append(blocked("system-volume", phrase("A car's system holds 0.8 to 8 L."), "litres"))
    return found


def too_hot() -> Finding:
    sentence = phrase(
        "The can is above 125 °F (52 °C), the limit printed on cans. Do not open, warm or carry it: let it cool in the"
        " shade, away from people."
    )
    return blocked("can-too-hot", sentence, "can_at", phrase("storage limit printed on cans, from memory"))


def cold_wet(drawn: Mass) -> Finding | None:
    """A can that gave more than 40 g of vapour at a go is cold: water on it is weighed as refrigerant still in it."""
    return next(iter(Look({}, {"drawn": drawn.ug}).judge([COLD_WET])), None)


def _cooling(can: SmallCan, kelvin: float) -> Iterator[tuple[float, float]]:
    """(K, kg drawn) step by step down from ``kelvin``, while there is liquid and the equations hold."""
    here, mass = _contents(can, kelvin), can.net
    yield kelvin, 0.0
    while kelvin - STEP >= COLDEST:
        kelvin -= STEP
        below = _contents(can, kelvin)
        leaves = (here.vapour_enthalpy + below.vapour_enthalpy) / 2
        gone = here.energy(mass) - below.energy(mass)
        mass -= gone / (leaves - below.per_kg)
        if mass <= below.least:
            return
        here = below
        yield kelvin, can.net - mass


@dataclass(frozen=True, slots=True)
class _Contents:
    """A can's energy (J) at one temperature is ``per_kg`` times what is in it, and ``rest``; with less than ``least``
    kg in it there is no liquid."""

    per_kg: float
    rest: float
    vapour_enthalpy: float
    least: float

    def energy(self, mass: float) -> float:
        return self.per_kg * mass + self.rest


def _contents(can: SmallCan, kelvin: float) -> _Contents:
    """Liquid and vapour share the volume, so both masses are linear in their sum."""
    fluid = can.fluid
    vapour, latent = fluid.vapour_density(kelvin), fluid.heat_of_vaporisation(kelvin)
    ratio, liquid = vapour / fluid.liquid_density(kelvin), fluid.liquid_enthalpy(kelvin)
    rest = latent * can.volume * vapour / (1 - ratio) - fluid.pressure(kelvin) * can.volume
    return _Contents(
        per_kg=liquid - latent * ratio / (1 - ratio),
        rest=rest + STEEL_HEAT * can.steel * kelvin,
        vapour_enthalpy=liquid + latent,
        least=can.volume * vapour,
    )


def _unheated(
    can: SmallCan, path: tuple[tuple[float, float], ...], system: float, volume: float
) -> Stall | None:
    """The place on the can's way down where it no longer pushes: what it gave is what the system holds at its pressure.
    While the can is warmer than the system it pushes in any case."""

    def lacks(kelvin: float, drawn: float) -> float:
        """Kg that the system could still take at the can's pressure."""
        return (vapour_held(can.refrigerant, volume, system, can.fluid.pressure(kelvin)) or 0.0) - drawn

    place = bisect_left(path, True, key=lambda one: one[0] <= system and lacks(*one) <= 0)
    if place in (0, len(path)):
        return None
    (warm, less), (cold, more) = path[place - 1], path[place]
    top = min(warm, system)
    start = less + (more - less) * (warm - top) / (warm - cold)
    above, below = max(lacks(top, start), 0.0), lacks(cold, more)
    share = above / (above - below) if above > below else 0.0
    return Stall(start + (more - start) * share, top + (cold - top) * share)
