"""Air and water: the atmosphere at a height, what water does in a vacuum, moist air.

Sources: US Standard Atmosphere 1976 (troposphere); IAPWS R7-97 (IF97) region 4 for water above its triple point; IAPWS
R14-08 for ice; ASHRAE Fundamentals 2017 chapter 1 for moist air. Pa absolute and K throughout; metres above sea level.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shop.core.gauge import ATMOSPHERE, KELVIN

FOOT = 0.3048  # m
LOWEST_M, HIGHEST_M = -430.0, 4_300.0  # where cars are repaired
WEATHER = (
    1.0 * 3386.389
)  # Pa; how far weather takes the air from its standard at most (record highs, from memory)
WEATHER_U = 1_000.0  # Pa, standard; when only the height is known (tool's own choice)
TRIPLE_POINT = 273.16  # K
TRIPLE_PRESSURE = 611.657  # Pa
_N = (
    1167.0521452767, -724213.16703206, -17.073846940092, 12020.824702470, -3232555.0322333,
    14.915108613530, -4823.2657361591, 405113.40542057, -0.23855557567849, 650.17534844798,
)  # fmt: skip
_ICE = ((-21.2144006, 0.00333333333), (27.3203819, 1.20666667), (-6.10598130, 1.70333333))


def standard_air(height: float) -> float:
    """Air pressure in Pa of the standard atmosphere at a height in metres."""
    base = 1 - 0.0065 * height / 288.15
    return math.copysign(ATMOSPHERE * abs(base) ** 5.25588, base)


def water_pressure(kelvin: float) -> float:
    """Vapour pressure in Pa of water (or, below its triple point, of ice) at a temperature up to 640 K."""
    if kelvin < TRIPLE_POINT:
        return _ice_pressure(kelvin)
    n = _N
    theta = kelvin + n[8] / (kelvin - n[9])
    a = theta * theta + n[0] * theta + n[1]
    b = n[2] * theta * theta + n[3] * theta + n[4]
    c = n[5] * theta * theta + n[6] * theta + n[7]
    return 1e6 * math.pow(2 * c / (-b + math.sqrt(b * b - 4 * a * c)), 4)


def water_boils_at(pascal: float) -> float:
    """K at which water boils, or ice turns to vapour, under a pressure of 0.001 Pa to 20 MPa."""
    if pascal < TRIPLE_PRESSURE:
        return _ice_leaves_at(pascal)
    n = _N
    beta = math.sqrt(math.sqrt(pascal / 1e6))
    e = beta * beta + n[2] * beta + n[5]
    f = n[0] * beta * beta + n[3] * beta + n[6]
    g = n[1] * beta * beta + n[4] * beta + n[7]
    d = 2 * g / (-f - math.sqrt(f * f - 4 * e * g))
    half = n[9] + d
    return (half - math.sqrt(half * half - 4 * (n[8] + n[9] * d))) / 2


def _ice_pressure(kelvin: float) -> float:
    theta = kelvin / TRIPLE_POINT
    return TRIPLE_PRESSURE * math.exp(sum(a * theta**b for a, b in _ICE) / theta)


def _ice_leaves_at(pascal: float) -> float:
    """Newton's steps in 1/T, in which the logarithm of the pressure is nearly straight."""
    kelvin = TRIPLE_POINT
    for _ in range(20):
        theta = kelvin / TRIPLE_POINT
        slope = sum(a * (b - 1) * theta ** (b - 2) for a, b in _ICE) / TRIPLE_POINT  # of ln p over T
        step = math.log(pascal / _ice_pressure(kelvin)) / (-slope * kelvin * kelvin)
        kelvin = 1 / (1 / kelvin + step)
        if abs(step) * kelvin * kelvin < 1e-7:
            break
    return kelvin


@dataclass(frozen=True, slots=True)
class MoistAir:
    """Air at a temperature (K) with a relative humidity (0 to 1) under a pressure (Pa)."""

    kelvin: float
    humidity: float
    pressure: float = ATMOSPHERE

    @property
    def ratio(self) -> float:
        """Humidity ratio, kg of water per kg of dry air."""
        return humidity_ratio(self.humidity * water_pressure(self.kelvin), self.pressure)

    @property
    def enthalpy(self) -> float:
        """J per kg of dry air, from dry air at 0 °C."""
        return moist_enthalpy(self.kelvin, self.ratio)

    @property
    def volume(self) -> float:
        """m³ per kg of dry air (equation 26)."""
        return 287.042 * self.kelvin * (1 + 1.607858 * self.ratio) / self.pressure

    @property
    def dew_point(self) -> float:
        """K at which water begins to fall out."""
        return water_boils_at(max(self.humidity * water_pressure(self.kelvin), 1e-3))

    @property
    def wet_bulb(self) -> float:
        """K that a wetted thermometer shows (ASHRAE Fundamentals 2017 chapter 1, equations 33 and 35)."""
        low, high = min(self.dew_point, self.kelvin), self.kelvin
        while high - low > 1e-4:
            middle = (low + high) / 2
            wetter = ratio_of_wet_bulb(self.kelvin, middle, self.pressure) > self.ratio
            low, high = (low, middle) if wetter else (middle, high)
        return (low + high) / 2


def humidity_ratio(vapour: float, pressure: float) -> float:
    """kg of water per kg of dry air, from the vapour's share of the pressure (both Pa)."""
    return 0.621945 * vapour / (pressure - vapour)


def relative_humidity(ratio: float, kelvin: float, pressure: float = ATMOSPHERE) -> float:
    """0 to 1 of air at a temperature (K) with so many kg of water per kg of dry air, under a pressure (Pa)."""
    return ratio / (0.621945 + ratio) * pressure / water_pressure(kelvin)


def moist_enthalpy(kelvin: float, ratio: float) -> float:
    """J per kg of dry air at a humidity ratio (equation 30)."""
    degrees = kelvin - KELVIN
    return 1006 * degrees + ratio * (2_501_000 + 1860 * degrees)


def ratio_of_wet_bulb(dry: float, wet: float, pressure: float = ATMOSPHERE) -> float:
    """Humidity ratio from dry and wet bulb (K) under a pressure (Pa)."""
    t, t_wet = dry - KELVIN, wet - KELVIN
    saturated = humidity_ratio(water_pressure(wet), pressure)
    if t_wet >= 0:
        return ((2501 - 2.326 * t_wet) * saturated - 1.006 * (t - t_wet)) / (2501 + 1.86 * t - 4.186 * t_wet)
    return ((2830 - 0.24 * t_wet) * saturated - 1.006 * (t - t_wet)) / (2830 + 1.86 * t - 2.1 * t_wet)
