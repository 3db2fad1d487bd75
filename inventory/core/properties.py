"""Small property equations of the refrigerants: saturation, densities, superheated vapour. Pa absolute, K, kg/m³.

The coefficients are our own least-squares fits to the reference equations of state (R-1234yf: Lemmon & Akasaka 2022;
R-134a: Tillner-Roth & Baehr 1994; R-152a: Outcalt & McLinden 1996) and stay as they are: a certificate gives the same
number in three years. Over their ranges they keep within 0.05 % (saturation pressure), 0.07 % (densities) and 0.2 %
(heat capacity of the liquid) of the references; tests/core/test_properties.py and test_can.py hold them to it. Nothing
here needs a library.

Asking outside a range is a mistake of the program and raises ``OutOfRange``: ask ``covers`` before.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shop.core.gauge import KELVIN

EQUATIONS = "Tarebook properties 1"  # stored beside every result; a changed coefficient is a new version
GAS = 8.314462618  # J/(mol K), CODATA 2018
COLDEST, HOTTEST = KELVIN - 40, KELVIN + 85  # saturation
VAPOUR_COLDEST, VAPOUR_HOTTEST = KELVIN - 20, KELVIN + 90  # superheated vapour
DENSEST_VAPOUR = 120.0


class OutOfRange(ValueError):  # noqa: N818 - reads as a sentence
    """An equation was asked beyond the range it was fitted over."""


@dataclass(frozen=True, slots=True)
class Fluid:
    """One refrigerant. ``critical`` is (K, Pa, kg/m³), ``molar`` kg/mol; the other tuples are coefficients."""

    code: str
    critical: tuple[float, float, float]
    molar: float
    _psat: tuple[float, float, float, float]
    _liquid: tuple[float, float, float, float]
    _vapour: tuple[float, float, float, float, float]
    _compression: tuple[float, float, float, float, float, float, float, float, float]
    _enthalpy: tuple[float, float, float, float]

    def covers(self, kelvin: float) -> bool:
        """Whether saturation can be asked at this temperature."""
        return COLDEST <= kelvin <= HOTTEST

    def covers_pressure(self, pascal: float) -> bool:
        """Whether a saturation temperature can be asked for this pressure."""
        return self._pressure(COLDEST) <= pascal <= self._pressure(HOTTEST)

    def pressure(self, kelvin: float) -> float:
        """Saturation pressure, Pa absolute."""
        self._need(self.covers(kelvin), kelvin, "K")
        return self._pressure(kelvin)

    def slope(self, kelvin: float) -> float:
        """How the saturation pressure rises, Pa/K."""
        self._need(self.covers(kelvin), kelvin, "K")
        t_c = self.critical[0]
        x, t = t_c / kelvin, 1 - kelvin / t_c
        a = self._psat
        series: float = a[0] * t + a[1] * t**1.5 + a[2] * t**2.5 + a[3] * t**5
        steep: float = a[0] + 1.5 * a[1] * t**0.5 + 2.5 * a[2] * t**1.5 + 5 * a[3] * t**4
        return self._pressure(kelvin) * (-x / kelvin * series - x / t_c * steep)

    def temperature(self, pascal: float) -> float:
        """Saturation temperature, K, of a pressure in Pa absolute."""
        self._need(self.covers_pressure(pascal), pascal, "Pa")
        low, high = COLDEST, HOTTEST
        while high - low > 1e-6:
            middle = (low + high) / 2
            low, high = (middle, high) if self._pressure(middle) < pascal else (low, middle)
        return (low + high) / 2

    def liquid_density(self, kelvin: float) -> float:
        """Density of the saturated liquid."""
        self._need(self.covers(kelvin), kelvin, "K")
        return self.critical[2] * (1 + _sum(self._liquid, self._thirds(kelvin)))

    def vapour_density(self, kelvin: float) -> float:
        """Density of the saturated vapour."""
        self._need(self.covers(kelvin), kelvin, "K")
        t, c = 1 - kelvin / self.critical[0], self._vapour
        powers = (t ** (1 / 3), t ** (2 / 3), t ** (4 / 3), t**3, t ** (37 / 6))
        return self.critical[2] * math.exp(_sum(c, powers))

    def heat_of_vaporisation(self, kelvin: float) -> float:
        """J/kg, by Clapeyron's equation from the curves above."""
        change = 1 / self.vapour_density(kelvin) - 1 / self.liquid_density(kelvin)
        return kelvin * self.slope(kelvin) * change

    def liquid_enthalpy(self, kelvin: float) -> float:
        """J/kg of the saturated liquid, from the liquid at 0 °C."""
        self._need(self.covers(kelvin), kelvin, "K")
        return _sum(self._enthalpy, self._thirds(kelvin)) - _sum(self._enthalpy, self._thirds(KELVIN))

    def liquid_heat_capacity(self, kelvin: float) -> float:
        """J/(kg K): what a kg of saturated liquid takes up for each kelvin, along the saturation line."""
        self._need(self.covers(kelvin), kelvin, "K")
        third = (1 - kelvin / self.critical[0]) ** (1 / 3)
        steep = (1 / (3 * third**2), 2 / (3 * third), 1.0, 4 / 3 * third)
        return -_sum(self._enthalpy, steep) / self.critical[0]

    def densest_vapour(self, kelvin: float) -> float:
        """The density up to which the vapour equation may be asked at a temperature."""
        return min(self.vapour_density(min(kelvin, HOTTEST)), DENSEST_VAPOUR)

    def vapour_pressure(self, kelvin: float, density: float) -> float:
        """Pressure, Pa absolute, of superheated vapour."""
        self._need(VAPOUR_COLDEST <= kelvin <= VAPOUR_HOTTEST, kelvin, "K")
        self._need(0 <= density <= self.densest_vapour(kelvin) * (1 + 1e-9), density, "kg/m³")
        return self._vapour_state(kelvin, density)[0]

    def superheated_density(self, kelvin: float, pascal: float) -> float:
        """Density of superheated vapour under a pressure up to the saturation pressure (Pa absolute)."""
        self._need(VAPOUR_COLDEST <= kelvin <= VAPOUR_HOTTEST, kelvin, "K")
        most = self._vapour_state(kelvin, self.densest_vapour(kelvin))[0]
        self._need(0 <= pascal <= most * (1 + 1e-3), pascal, "Pa")
        density = pascal * self.molar / (GAS * kelvin)
        for _ in range(40):
            reached, steep = self._vapour_state(kelvin, density)
            step = (pascal - reached) / steep
            density += step
            if abs(step) < 1e-12 * max(density, 1e-9):
                break
        return density

    def _pressure(self, kelvin: float) -> float:
        t_c, p_c, _ = self.critical
        t, a = 1 - kelvin / t_c, self._psat
        return p_c * math.exp(t_c / kelvin * (a[0] * t + a[1] * t**1.5 + a[2] * t**2.5 + a[3] * t**5))

    def _thirds(self, kelvin: float) -> tuple[float, float, float, float]:
        t = 1 - kelvin / self.critical[0]
        return t ** (1 / 3), t ** (2 / 3), t, t ** (4 / 3)

    def _vapour_state(self, kelvin: float, density: float) -> tuple[float, float]:
        """Pressure and how it rises with density (Pa, Pa m³/kg)."""
        d, h, e = density / self.critical[2], self.critical[0] / kelvin, self._compression
        first = e[0] + e[1] * h + e[2] * h**2 + e[3] * h**3 + e[4] * h**6
        second = e[5] + e[6] * h**2 + e[7] * h**4
        third = e[8] * h**2
        ideal = GAS * kelvin / self.molar
        z = 1 + d * (first + d * (second + d * third))
        rise = 1 + d * (2 * first + d * (3 * second + d * 4 * third))
        return z * density * ideal, rise * ideal

    def _need(self, held: bool, value: float, unit: str) -> None:
        if not held:
            raise OutOfRange(f"{self.code}: {value:g} {unit} is outside what the equation was fitted over")


def _sum(coefficients: Sequence[float], powers: Sequence[float]) -> float:
    return math.fsum(a * power for a, power in zip(coefficients, powers, strict=True))


FLUIDS = {
    fluid.code: fluid
    for fluid in (
        Fluid(
            "R-1234yf",
            (367.84999999994756, 3384373.6955661094, 476.69388799956585),
            0.1140416,
            (-7.413264, 1.733885, -2.244661, -3.118686),
            (1.734571, 0.997268, -0.479955, 0.512969),
            (-1.848785, -2.255511, -5.686284, -15.509625, -53.290821),
            (3.081556, -8.3639973, 6.9508721, -3.0413483, 0.0442403, -0.8942583, 2.3706294, -0.8463687, 0.036145),
            (-75450.5, 12482.3, -645431.3, 254325.2),
        ),
        Fluid(
            "R-134a",
            (374.2119665849513, 4059276.3737910665, 511.9451132818318),
            0.102032,
            (-7.637767, 1.760902, -2.606884, -3.337592),
            (1.69174, 1.501571, -1.396969, 1.063855),
            (-1.867152, -2.391169, -5.771775, -17.208299, -53.125982),
            (9.9117836, -28.7417895, 28.0189547, -10.767004, 0.2166426, -2.6831823, 5.5594697, -2.1977969, -0.0554298),
            (-47098.5, -153978.8, -382799.9, 88610.2),
        ),
        Fluid(
            "R-152a",
            (386.4109977772107, 4516749.941044954, 367.999843595564),
            0.066051,
            (-7.421587, 1.721366, -2.131484, -2.759414),
            (1.639048, 1.834842, -1.86666, 1.310306),
            (-1.960578, -2.106339, -5.85564, -15.398269, -48.619572),
            (0.6127185, -1.7810091, 0.9384106, -1.2373119, -0.0140385, 0.0976218, 0.6696866, 0.2776004, -0.4057054),
            (-15800.1, -356816.6, -362610.3, 85036.9),
        ),
    )
}  # fmt: skip
