"""What a gauge or a thermometer showed: the text as typed, and the pressure or temperature it stands for.

Inside core a pressure is Pa absolute and a temperature is K; a gauge shows neither. Factors: NIST SP 811 App. B.8 and
the definitions of the pound and the inch; inHg is mercury at 32 °F; a micron is a millitorr.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from enum import StrEnum

KELVIN = 273.15
PSI = 0.45359237 * 9.80665 / 0.0254**2  # Pa
INHG = 3386.389  # Pa, mercury at 32 °F
MICRON = 101_325 / 760_000  # Pa
ATMOSPHERE = 101_325.0  # Pa, the standard one

SHOWN = re.compile(
    r"(?P<number>[-−+]?\d{1,6}(?:[.,]\d{1,3})?)\s*(?P<unit>[a-zA-Z°%µ ]{1,12})\.?", re.ASCII | re.IGNORECASE
)
MINUS = "−"
BELOW_ZERO = re.compile(r"(?<![\w.,])-(?=\d[\d.,]*\s*(?:°|deg\b))")
BARE = re.compile(r"^[-−+]?\d{1,6}(?:[.,]\d{1,3})?$", re.ASCII)


class Scale(StrEnum):
    """How a gauge counts."""

    ABOVE_AIR = "above the air"  # psi, kPa, bar of a manifold gauge
    BELOW_AIR = "below the air"  # inHg of a compound gauge
    ABSOLUTE = "absolute"  # micron, mbar, Pa of an electronic vacuum gauge


# unit: how it counts, and one of it in Pa
PRESSURE_UNITS: dict[str, tuple[Scale, float]] = {
    "psi": (Scale.ABOVE_AIR, PSI),
    "psig": (Scale.ABOVE_AIR, PSI),
    "kpa": (Scale.ABOVE_AIR, 1000.0),
    "bar": (Scale.ABOVE_AIR, 100_000.0),
    "inhg": (Scale.BELOW_AIR, INHG),
    "micron": (Scale.ABSOLUTE, MICRON),
    "microns": (Scale.ABSOLUTE, MICRON),
    "mbar": (Scale.ABSOLUTE, 100.0),
    "pa": (Scale.ABSOLUTE, 1.0),
}
DEGREES_F = ("°f", "f", "deg f")
DEGREES_C = ("°c", "c", "deg c")


@dataclass(frozen=True, slots=True)
class Shown:
    """A number and its unit in small letters, as a display showed them; ``step`` is one of its last digit."""

    value: float
    unit: str
    step: float


@dataclass(frozen=True, slots=True)
class PressureShown:
    """A pressure gauge's reading: ``value`` in Pa from where the gauge counts, ``step`` one of its last digit in Pa."""

    value: float
    step: float
    scale: Scale

    def absolute(self, air: float) -> float:
        """Pa absolute under this air pressure (Pa). Below zero: the reading cannot be."""
        if self.scale is Scale.ABSOLUTE:
            return self.value
        return air + self.value if self.scale is Scale.ABOVE_AIR else air - self.value


def shown(text: str) -> Shown | None:
    """The number and unit in a reading such as "78.2 psi"; None when the text is none."""
    match = SHOWN.fullmatch(" ".join(text.split()))
    if match is None:
        return None
    number = match["number"].replace("−", "-").replace(",", ".")
    decimals = len(number.partition(".")[2])
    return Shown(float(number), match["unit"].strip().lower(), 10.0**-decimals)


def with_unit(text: str, unit: str) -> str:
    """A reading with its unit: a bare number takes this one, anything else stands as it was typed."""
    said = " ".join(text.split())
    return f"{said} {unit}" if BARE.match(said) else said


def pressure_shown(text: str) -> PressureShown | None:
    """A pressure reading, or None when its unit is none of ``PRESSURE_UNITS``."""
    read = shown(text)
    if read is None or read.unit not in PRESSURE_UNITS:
        return None
    scale, pascal = PRESSURE_UNITS[read.unit]
    return PressureShown(read.value * pascal, read.step * pascal, scale)


def temperature_shown(text: str) -> float | None:
    """K, or None when the text is no temperature above absolute zero in °F or °C."""
    read = shown(text)
    if read is None or read.unit not in (*DEGREES_F, *DEGREES_C):
        return None
    kelvin = fahrenheit(read.value) if read.unit in DEGREES_F else celsius(read.value)
    return kelvin if kelvin > 0 else None


def celsius(degrees: float) -> float:
    """K of a temperature in °C."""
    return degrees + KELVIN


def fahrenheit(degrees: float) -> float:
    """K of a temperature in °F."""
    return (degrees - 32) / 1.8 + KELVIN


def in_celsius(kelvin: float) -> float:
    return kelvin - KELVIN


def in_fahrenheit(kelvin: float) -> float:
    return (kelvin - KELVIN) * 1.8 + 32


def in_psig(pascal: float, air: float) -> float:
    """What a manifold gauge shows in psi for a pressure (Pa absolute) under this air pressure (Pa)."""
    return (pascal - air) / PSI


def rounded(value: float, digits: int) -> str:
    """A number for people with this many decimals and a real minus sign, never "−0". ``digits`` below zero rounds to
    tens, hundreds."""
    if not math.isfinite(value):
        return "?"
    number = round(value, digits)
    return f"{number or 0:,.{max(digits, 0)}f}".replace("-", MINUS)


def with_minus(text: str) -> str:
    """A reading as it was typed, with a real minus sign where it is below zero degrees: "−9 °F"."""
    return BELOW_ZERO.sub(MINUS, text)
