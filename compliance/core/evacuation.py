"""What a vacuum gauge could tell of an evacuation, and what it could not.

A compound gauge counts from the air, so the air and the gauge's own error stand in its absolute pressure: it shows that
the pump pulls and never a micron. An electronic gauge counts from nothing. Pa absolute and K throughout. Water and
air: ``shop.core.air``. Leak or vapour is judged by three readings equally far apart: air flows in evenly, vapour comes
off ever more slowly, as 1 - exp(-t/tau).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from compliance.core.vacuum_findings import ELECTRONIC_ERROR, reading_findings, temperature_findings
from shop.core.air import TRIPLE_PRESSURE, water_boils_at, water_pressure
from shop.core.conditions import Conditions, with_barometer
from shop.core.decision import combined, u_rectangular, u_resolution
from shop.core.findings import Finding
from shop.core.gauge import MICRON, Scale, pressure_shown, temperature_shown
from shop.core.phrase import phrase

TWICE = 2  # standard uncertainties, as everywhere in the book
ELECTRONIC_STEP = 0.01  # of its reading; finer digits tell two readings no further apart (tool's own choice)
STEADY_ABOVE, SLOWING_BELOW = (
    0.8,
    0.6,
)  # second rise over first; a leak 1, vapour exp(-dt/tau) (tool's own choice)


class GaugeKind(StrEnum):
    COMPOUND = phrase("compound gauge")
    ELECTRONIC = phrase("electronic vacuum gauge")


class Judged(StrEnum):
    """What became of the pressure over a hold. The values are kept on certificates."""

    FELL = "fell"
    NOT_SEEN = "not seen"
    NOT_JUDGED = "not judged"  # it rose, and there was no third reading
    STEADY = "steady"
    SLOWING = "slowing"
    INCONCLUSIVE = "inconclusive"


@dataclass(frozen=True, slots=True)
class VacuumReadings:
    """Readings as typed, with their units; ``hold_middle`` half way through the ``minutes`` of the hold."""

    deepest: str = ""
    hold_from: str = ""
    hold_middle: str = ""
    hold_to: str = ""
    minutes: float = 0
    gauge: str = ""
    barometer: str = ""
    temperature: str = ""


@dataclass(frozen=True, slots=True)
class Vacuum:
    """One reading: ``as_read`` is Pa absolute, below zero when it is deeper than the air. ``u`` (standard) says how
    well that pressure is known, ``u_step`` how well two readings of this gauge can be told apart."""

    kind: GaugeKind
    as_read: float
    u: float
    u_step: float

    @property
    def pascal(self) -> float:
        return max(self.as_read, 0.0)

    @property
    def micron(self) -> float | None:
        """None from a compound gauge, whatever it shows, and from one that shows zero."""
        return self.as_read / MICRON if self.kind is GaugeKind.ELECTRONIC and self.as_read > 0 else None

    @property
    def boils(self) -> float | None:
        """K at which water boils there, or ice turns to vapour; None at zero, where nothing is known."""
        return water_boils_at(self.as_read) if self.as_read >= 0.001 else None

    @property
    def boils_at_most(self) -> float:
        """K, with the pressure two standard uncertainties higher than it was read."""
        return water_boils_at(max(self.pascal + TWICE * self.u, 0.001))


@dataclass(frozen=True, slots=True)
class Rise:
    """From the beginning of a hold to its end, Pa with standard uncertainty, on one kind of gauge."""

    pascal: float
    u: float
    kind: GaugeKind

    @property
    def is_told(self) -> bool:
        """Whether the gauge could tell it from no change at all."""
        return abs(self.pascal) > TWICE * self.u


@dataclass(frozen=True, slots=True)
class Ratio:
    """The second rise of a hold over the first."""

    value: float
    u: float


@dataclass(frozen=True, slots=True)
class Told:
    """What the readings come to under ``here``. What could not be read is None, and ``findings`` say what cannot be."""

    readings: VacuumReadings
    here: Conditions
    findings: tuple[Finding, ...]
    deepest: Vacuum | None
    rise: Rise | None
    ratio: Ratio | None
    judged: Judged | None
    kelvin: float | None  # of the bay
    doubtful: bool  # the deepest reading, so that no figure is made of it
    pulls: bool  # the pump, beyond what air and gauge may be off by
    above_water: bool  # at the end of the hold, by more than bay and gauge may be off by


def vacuum(text: str, here: Conditions) -> Vacuum | None:
    """A reading with its uncertainty, or None when it is no pressure. "-29 inHg" is a vacuum as "29 inHg" is."""
    read = pressure_shown(text)
    if read is None:
        return None
    if read.scale is Scale.ABSOLUTE:
        size = abs(read.value)
        u = combined(u_resolution(read.step), u_rectangular(ELECTRONIC_ERROR * size))
        return Vacuum(
            GaugeKind.ELECTRONIC, read.value, u, u_resolution(max(read.step, ELECTRONIC_STEP * size))
        )
    below = abs(read.value) if read.scale is Scale.BELOW_AIR else -read.value
    u_step = u_resolution(max(read.step, here.gauge_step))
    return Vacuum(GaugeKind.COMPOUND, here.air - below, combined(here.u_air, here.u_gauge, u_step), u_step)


def told(readings: VacuumReadings, here: Conditions) -> Told:
    """All that follows from what was typed; a typed barometer counts before the shop's height."""
    here, found = with_barometer(here, readings.barometer)
    found += temperature_findings(readings.temperature)
    for field in ("deepest", "hold_from", "hold_middle", "hold_to"):
        found += reading_findings(getattr(readings, field), here, field, gauge=readings.gauge)
    deepest, first, middle, last = (
        vacuum(text, here)
        for text in (readings.deepest, readings.hold_from, readings.hold_middle, readings.hold_to)
    )
    kelvin = temperature_shown(readings.temperature)
    rise = rise_of(first, last)
    ratio = ratio_of(first, middle, last)
    verdict, above = None, False
    if rise is not None and last is not None:
        verdict = judged(rise, ratio, last, _least_water(kelvin, here), three=middle is not None)
        above = _is_above_water(last, kelvin, here)
    return Told(
        readings=readings,
        here=here,
        findings=tuple(found),
        deepest=deepest,
        rise=rise,
        ratio=ratio,
        judged=verdict,
        kelvin=kelvin,
        doubtful=any(one.field == "deepest" for one in found),
        pulls=deepest is not None and deepest.as_read + TWICE * deepest.u < here.air,
        above_water=above,
    )


def rise_of(first: Vacuum | None, last: Vacuum | None) -> Rise | None:
    """None unless both ends of the hold were read on one kind of gauge: what is off in both falls out."""
    if first is None or last is None or first.kind is not last.kind:
        return None
    return Rise(last.as_read - first.as_read, combined(first.u_step, last.u_step), first.kind)


def ratio_of(first: Vacuum | None, middle: Vacuum | None, last: Vacuum | None) -> Ratio | None:
    """r = (P2 - P1) / (P1 - P0) with u(r) = u / (P1 - P0) root(2 + 2r + 2r²) (GUM 5.1.2; P1 stands in both rises).

    None unless three readings of one kind of gauge are there and the first half rose.
    """
    if first is None or middle is None or last is None or len({first.kind, middle.kind, last.kind}) > 1:
        return None
    gap = middle.as_read - first.as_read
    if gap <= 0:
        return None
    r = (last.as_read - middle.as_read) / gap
    u = max(first.u_step, middle.u_step, last.u_step)
    return Ratio(r, u / gap * math.sqrt(2 + 2 * r + 2 * r * r))


def judged(rise: Rise, ratio: Ratio | None, last: Vacuum, water: float, *, three: bool = True) -> Judged:
    """Leak, vapour or inconclusive. ``water`` is the least that water's vapour pressure may be in this bay (Pa);
    ``three`` says whether there was a reading half way."""
    if not rise.is_told:
        return Judged.NOT_SEEN
    if rise.pascal < 0:
        return Judged.FELL
    if ratio is None:
        return Judged.INCONCLUSIVE if three else Judged.NOT_JUDGED
    spread = TWICE * ratio.u
    if ratio.value > STEADY_ABOVE + spread:
        return Judged.STEADY
    slows = -spread <= ratio.value < SLOWING_BELOW - spread
    return Judged.SLOWING if slows and last.as_read + TWICE * last.u < water else Judged.INCONCLUSIVE


def _least_water(kelvin: float | None, here: Conditions) -> float:
    """Water's vapour pressure in the coldest bay that the thermometer allows; above freezing where none was read."""
    return TRIPLE_PRESSURE if kelvin is None else water_pressure(kelvin - TWICE * here.u_temperature)


def _is_above_water(last: Vacuum, kelvin: float | None, here: Conditions) -> bool:
    if kelvin is None:
        return False
    return last.as_read - TWICE * last.u > water_pressure(kelvin + TWICE * here.u_temperature)
