"""What a gauge's text says, exactly: for rules that a browser asks too. The factors are those of shop/core/gauge.py."""

from __future__ import annotations

from fractions import Fraction

from shop.core.gauge import DEGREES_C, DEGREES_F, PRESSURE_UNITS, SHOWN

PSI = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2  # Pa
MICRON = Fraction(101_325, 760_000)  # Pa
EXACT = {"psi": PSI, "psig": PSI, "micron": MICRON, "microns": MICRON}
PRESSURES: dict[str, tuple[str, Fraction]] = {
    unit: (scale.value, EXACT.get(unit, Fraction(str(factor))))
    for unit, (scale, factor) in PRESSURE_UNITS.items()
}
DEGREES = {"f": (DEGREES_F, Fraction(5, 9), Fraction(32)), "c": (DEGREES_C, Fraction(1), Fraction(0))}
ZERO_C = Fraction("273.15")  # K
BULBS = ("wet bulb", "dew point")


def _shown(text: str) -> tuple[Fraction, str] | None:
    match = SHOWN.fullmatch(" ".join(text.split()))
    if match is None:
        return None
    return Fraction(match["number"].replace("−", "-").replace(",", ".")), match["unit"].strip().lower()


def exact_unit(text: str) -> str | None:
    """The unit in small letters, of whatever it is; None when the text is no reading."""
    read = _shown(text)
    return read[1] if read is not None else None


def exact_kelvin(text: str) -> Fraction | None:
    """K, or None when the text is no temperature above absolute zero in °F or °C."""
    read = _shown(text)
    for names, size, zero in DEGREES.values():
        if read is not None and read[1] in names:
            kelvin = (read[0] - zero) * size + ZERO_C
            return kelvin if kelvin > 0 else None
    return None


def exact_pascal(text: str) -> Fraction | None:
    """Pa from where the gauge counts, or None when its unit is none of a gauge."""
    read = _shown(text)
    return read[0] * PRESSURES[read[1]][1] if read is not None and read[1] in PRESSURES else None


def exact_counts(text: str) -> str | None:
    """From where the gauge counts; see ``shop.core.gauge.Scale``."""
    read = _shown(text)
    return PRESSURES[read[1]][0] if read is not None and read[1] in PRESSURES else None


def exact_bulb(text: str) -> Fraction | None:
    """K of a wet bulb or of a dew point such as "68 °F wet bulb"."""
    for words in BULBS:
        number, there, _ = text.lower().partition(words)
        kelvin = exact_kelvin(number) if there else None
        if kelvin is not None:
            return kelvin
    return None
