"""What a hold under the leak-test charge could see: whether the gauge can feel mass at all, what pressure the later
temperature explains, and the smallest loss that would show.

With liquid left in the system the gauge shows the saturation pressure, whatever the mass: the hold is blind. With
vapour only, density follows from pressure and temperature, and the lost share is what the density lost; the volume
cancels. Nothing here knows the oil, which takes refrigerant up for hours and looks like a loss; so what comes out is
an apparent loss, never a leak rate. One temperature throughout is assumed. Pa absolute, K, g, litres.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from inventory.core.properties import VAPOUR_COLDEST, Fluid
from shop.core.conditions import Conditions
from shop.core.decision import combined, u_rectangular, u_resolution
from shop.core.gauge import PSI, celsius

ONE_SIDED = (
    1.645  # 95 % of a normal distribution on one side (JCGM 101 table 1 has the two-sided 1.64 of 90 %)
)
DETECTED = 2 * ONE_SIDED  # 5 % false alarms and 5 % missed, with equal u (Currie 1968, from memory)
COLDEST, HOTTEST = VAPOUR_COLDEST, celsius(60)  # a system at rest in a bay; the equations cover it
LEAST_G, MOST_G = 20.0, 1500.0
LEAST_L, MOST_L = 0.8, 8.0  # beyond that, a reading is more likely wrong than the car so small or so large
# No published figure for the volume inside a car's system was found; these are the tool's own assumption.
ASSUMED_L = (1.5, 2.5, 3.5, 4.5)
WARMEST = celsius(40)  # nobody is told to warm a system further; the tool's own choice
SETTLED = 5  # minutes; a shorter hold says nothing
HOURS_A_YEAR = 8766
ENOUGH, ENOUGH_ABOVE = 50 * PSI, celsius(16)  # above the air; a vehicle service manual's checking procedure


@dataclass(frozen=True, slots=True)
class Static:
    """Gauge and thermometer read together on a system at rest; ``step`` is what the gauge could be read to (Pa)."""

    pascal: float
    kelvin: float
    step: float


@dataclass(frozen=True, slots=True)
class Hold:
    """A hold: what was put in with its standard uncertainty, and the readings. ``volume_l`` only when it is known from
    elsewhere. ``end`` is None while the hold runs (then ``minutes`` are those it is meant to take), and when it cannot
    be read: ``lacks`` says in a sentence what is missing."""

    fluid: Fluid
    mass_g: float
    u_mass_g: float
    start: Static
    end: Static | None
    minutes: int
    here: Conditions
    volume_l: float | None = None
    lacks: str = ""


@dataclass(frozen=True, slots=True)
class Excess:
    """More pressure than this refrigerant alone can have: ``over`` is by how much, ``margin`` what readings excuse."""

    over: float
    margin: float


@dataclass(frozen=True, slots=True)
class Unseen:
    """In a system of so many litres: what could be lost while the gauge stays where it is, and the temperature above
    which the gauge would see (None: not up to ``WARMEST``)."""

    volume_l: float
    grams: float
    sees_above: float | None


@dataclass(frozen=True, slots=True)
class Blind:
    """Too near saturation to exclude liquid. ``cases`` are the volumes it may have, smallest (worst) first."""

    cases: tuple[Unseen, ...]
    margin: float


@dataclass(frozen=True, slots=True)
class Seeing:
    """All vapour. The volume is an upper bound, since oil has taken some of the mass."""

    density: float
    volume_l: float
    u_volume_l: float

    @property
    def plausible(self) -> bool:
        return LEAST_L <= self.volume_l <= MOST_L


Sight = Excess | Blind | Seeing


@dataclass(frozen=True, slots=True)
class Change:
    """Between two seeing readings: what seems to be gone, with its standard uncertainty."""

    loss_g: float
    u_g: float

    @property
    def fell(self) -> bool:
        return self.loss_g > ONE_SIDED * self.u_g

    @property
    def rose(self) -> bool:
        return self.loss_g < -ONE_SIDED * self.u_g


@dataclass(frozen=True, slots=True)
class ForDetector:
    """Whether the pressure suffices for a search. ``more_g``: how much more would do, None when none would."""

    pascal: float
    kelvin: float
    warm: bool
    enough: bool
    more_g: float | None


@dataclass(frozen=True, slots=True)
class Seen:
    """What a hold could see. ``expected`` is the pressure that the later temperature explains; ``limit_g`` the smallest
    loss that this gauge and thermometer could show, None when blind; ``change`` is None unless both readings see."""

    hold: Hold
    start: Sight
    end: Sight | None
    expected: float | None
    limit_g: float | None
    change: Change | None
    detector: ForDetector | None

    @property
    def settled(self) -> bool:
        return self.hold.minutes >= SETTLED

    @property
    def limit_kg_year(self) -> float | None:
        """The smallest loss as a rate over this hold. It is a limit of the test, never a leak that was measured."""
        if self.limit_g is None or not self.settled:
            return None
        return self.limit_g / 1000 * HOURS_A_YEAR * 60 / self.hold.minutes

    def days_to_show(self, detector_g_year: float) -> float | None:
        """How long a leak of the detector's scale would take to lose what this hold could show."""
        return None if self.limit_g is None else self.limit_g / detector_g_year * HOURS_A_YEAR / 24


def see(hold: Hold) -> Seen:
    """Everything about a hold whose readings lie within COLDEST..HOTTEST and whose mass is more than zero."""
    start = sight(hold, hold.start)
    if isinstance(start, Seeing):
        hold = replace(hold, volume_l=start.volume_l)
    end = sight(hold, hold.end) if hold.end is not None else None
    expected, limit, change = None, None, None
    if isinstance(start, Seeing):
        later = hold.end or hold.start
        expected = static_pressure(hold.fluid, later.kelvin, start.density)
        unchanged = replace(later, pascal=expected)
        if isinstance(sight(hold, unchanged), Seeing):
            limit = DETECTED * _change(hold, start, unchanged).u_g
        if hold.end is not None and isinstance(end, Seeing):
            change = _change(hold, start, hold.end)
            limit = limit if limit is not None else DETECTED * change.u_g
    last = end if end is not None else start
    return Seen(hold, start, end, expected, limit, change, _for_detector(hold, last))


def sight(hold: Hold, at: Static) -> Sight:
    """What the gauge can feel at one reading: against saturation, give or take what gauge, air and thermometer may be
    off."""
    margin = _margin(hold, at.kelvin, at.step)
    over = at.pascal - hold.fluid.pressure(at.kelvin)
    if over > margin:
        return Excess(over, margin)
    if over >= -margin:
        return Blind(_cases(hold, at), margin)
    return _seeing(hold, at)


def static_pressure(fluid: Fluid, kelvin: float, density: float) -> float:
    """Pressure at rest of a mean density: of the vapour, or saturation when it is more than vapour can be."""
    if density >= fluid.vapour_density(kelvin):
        return fluid.pressure(kelvin)
    return min(fluid.vapour_pressure(kelvin, density), fluid.pressure(kelvin))


def vapour_fraction(fluid: Fluid, kelvin: float, density: float) -> float:
    """Share of the mass that is vapour, 0 to 1."""
    liquid, vapour = fluid.liquid_density(kelvin), fluid.vapour_density(kelvin)
    return min(1.0, max(0.0, (1 / density - 1 / liquid) / (1 / vapour - 1 / liquid)))


def unseen_g(fluid: Fluid, mass_g: float, volume_l: float, kelvin: float) -> float:
    """Grams that can go before the last liquid is gone, and the pressure with it."""
    return max(0.0, mass_g - volume_l * fluid.vapour_density(kelvin))


def all_vapour_above(fluid: Fluid, density: float) -> float:
    """K above which this mean density (kg/m³ = g/l) is vapour only, between COLDEST and HOTTEST."""
    low, high = COLDEST, HOTTEST
    while high - low > 1e-4:
        middle = (low + high) / 2
        low, high = (middle, high) if fluid.vapour_density(middle) < density else (low, middle)
    return (low + high) / 2


def slopes(fluid: Fluid, kelvin: float, density: float) -> tuple[float, float]:
    """How the pressure of vapour rises with temperature (Pa/K, mass and volume as they are) and with density
    (Pa m³/kg)."""
    step_k, step_d = 0.01, density * 1e-4
    warmer = fluid.vapour_pressure(kelvin + step_k, density)
    here, thinner = fluid.vapour_pressure(kelvin, density), fluid.vapour_pressure(kelvin, density - step_d)
    return (warmer - here) / step_k, (here - thinner) / step_d


def _margin(hold: Hold, kelvin: float, step: float) -> float:
    here = hold.here
    u_pressure = combined(here.u_gauge, here.u_air, u_resolution(step))
    return ONE_SIDED * combined(u_pressure, hold.fluid.slope(kelvin) * here.u_temperature)


def _seeing(hold: Hold, at: Static) -> Seeing:
    density = hold.fluid.superheated_density(at.kelvin, at.pascal)
    per_kelvin, per_density = slopes(hold.fluid, at.kelvin, density)
    here = hold.here
    u_pressure = combined(here.u_gauge, here.u_air, u_resolution(at.step))
    u_density = combined(u_pressure, per_kelvin * here.u_temperature) / per_density
    volume = hold.mass_g / density
    return Seeing(density, volume, volume * combined(hold.u_mass_g / hold.mass_g, u_density / density))


def _change(hold: Hold, start: Seeing, end: Static) -> Change:
    """The same gauge and thermometer twice: what they are off by cancels, what they can be read to does not. How well
    the thermometer follows the metal is new each time, so its whole uncertainty counts at both ends."""
    fluid, here = hold.fluid, hold.here
    later = fluid.superheated_density(end.kelvin, end.pascal)
    kept = later / start.density
    parts = [(1 - kept) * hold.u_mass_g]
    for density, share, at in ((start.density, kept, hold.start), (later, 1.0, end)):
        per_kelvin, per_density = slopes(fluid, at.kelvin, density)
        grams = hold.mass_g / start.density * share / per_density  # of one Pa
        parts += [grams * u_resolution(at.step), grams * per_kelvin * here.u_temperature]
    return Change(hold.mass_g * (1 - kept), combined(*parts))


def _cases(hold: Hold, at: Static) -> tuple[Unseen, ...]:
    """Liquid left over means a volume of at most mass over vapour density; a larger one is not this car's."""
    most = hold.mass_g / hold.fluid.vapour_density(at.kelvin)
    volumes = (hold.volume_l,) if hold.volume_l is not None else ASSUMED_L
    may_be = [one for one in volumes if one < most] or [most]
    return tuple(
        Unseen(one, unseen_g(hold.fluid, hold.mass_g, one, at.kelvin), _sees_above(hold, one, at))
        for one in may_be
    )


def _sees_above(hold: Hold, volume_l: float, at: Static) -> float | None:
    def sees(kelvin: float) -> bool:
        saturated = hold.fluid.pressure(kelvin)
        pressure = static_pressure(hold.fluid, kelvin, hold.mass_g / volume_l)
        return pressure < saturated - _margin(hold, kelvin, at.step)

    low, high = at.kelvin, WARMEST
    if low >= high or not sees(high):
        return None
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (low, middle) if sees(middle) else (middle, high)
    return high


def _for_detector(hold: Hold, last: Sight) -> ForDetector | None:
    """None when the pressure is not this refrigerant's alone."""
    if isinstance(last, Excess):
        return None
    at = hold.end or hold.start
    wanted, warm = hold.here.air + ENOUGH, at.kelvin > ENOUGH_ABOVE
    more = None
    if at.pascal < wanted <= hold.fluid.pressure(at.kelvin) and isinstance(last, Seeing):
        fuller = hold.fluid.superheated_density(at.kelvin, wanted)
        more = hold.mass_g * (fuller / last.density - 1)
    return ForDetector(at.pascal, at.kelvin, warm, at.pascal >= wanted, more)


def u_put_in(steps_g: Iterable[float], hose_g: float) -> float:
    """Standard uncertainty of the mass in the system: two readings of each can, and what may stand in the can's hose,
    give or take the shop's allowance."""
    return combined(*(u_resolution(step) * math.sqrt(2) for step in steps_g), u_rectangular(hose_g))
