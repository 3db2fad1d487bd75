"""The saturation chart: what a gauge shows on a cylinder at rest that holds liquid, at this shop's air pressure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inventory.core.properties import FLUIDS, Fluid
from shop.core.gauge import PSI, celsius, fahrenheit

GASES = ("R-1234yf", "R-134a", "R-152a")
DEGREES_F = range(0, 135, 5)  # of the bay; every 5 °F
DEGREES_C = range(-20, 60, 5)


@dataclass(frozen=True, slots=True)
class ChartRow:
    """One temperature, in the degrees of its chart, and the gauge pressure of each refrigerant in the chart's unit;
    None beyond the equations."""

    degrees: int
    shown: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """Both halves: °F with psi, °C with kPa, above the ``air`` (Pa absolute)."""

    air: float
    in_f: tuple[ChartRow, ...]
    in_c: tuple[ChartRow, ...]


def chart(air: float) -> Chart:
    """The bay's chart under this air pressure."""
    return Chart(air, rows_in_f(DEGREES_F, air), rows_in_c(DEGREES_C, air))


def rows_in_f(degrees: Iterable[int], air: float, gases: Sequence[str] = GASES) -> tuple[ChartRow, ...]:
    """psi above the air at temperatures in °F."""
    fluids = [FLUIDS[gas] for gas in gases]
    return tuple(ChartRow(at, _gauges(fahrenheit(at), air, fluids, PSI)) for at in degrees)


def rows_in_c(degrees: Iterable[int], air: float, gases: Sequence[str] = GASES) -> tuple[ChartRow, ...]:
    """kPa above the air at temperatures in °C."""
    fluids = [FLUIDS[gas] for gas in gases]
    return tuple(ChartRow(at, _gauges(celsius(at), air, fluids, 1000.0)) for at in degrees)


def _gauges(kelvin: float, air: float, fluids: Iterable[Fluid], unit: float) -> tuple[float | None, ...]:
    return tuple([(one.pressure(kelvin) - air) / unit if one.covers(kelvin) else None for one in fluids])


def widest_gap(one: str, other: str, degrees: Iterable[int]) -> float:
    """psi by which two refrigerants differ at most at these temperatures (°F): how little a gauge can tell."""
    kelvins = [fahrenheit(at) for at in degrees]
    return max(abs(FLUIDS[one].pressure(at) - FLUIDS[other].pressure(at)) for at in kelvins) / PSI
