"""Vacuum readings that cannot be, and such as must be looked at, under the air of the place."""

from __future__ import annotations

import math

from shop.core.air import WEATHER, WEATHER_U
from shop.core.conditions import Conditions
from shop.core.findings import Finding, blocked, warned
from shop.core.gauge import INHG, MICRON, Scale, celsius, pressure_shown, rounded, shown, temperature_shown
from shop.core.phrase import phrase

ELECTRONIC_ERROR = 0.10  # of an electronic gauge's reading, either way (tool's own choice)
COLDEST, WARMEST = celsius(-20), celsius(50)  # bays
INHG_TYPED_AS_MICRON = (
    20.0,
    31.0,
)  # where a compound gauge stands, in inHg, and hardly a pump for cars, in micron


def reading_findings(text: str, here: Conditions, field: str, *, gauge: str = "") -> list[Finding]:
    """Why a reading cannot be, or must be looked at; none for what is no number with a unit of pressure."""
    read = pressure_shown(text)
    if read is None:
        return []
    if read.scale is Scale.ABSOLUTE:
        return _electronic_findings(text.strip(), read.value, read.value + read.step / 2, here, field, gauge)
    below = abs(read.value) if read.scale is Scale.BELOW_AIR else -read.value
    return _compound_findings(text.strip(), below, here, field)


def temperature_findings(text: str) -> list[Finding]:
    """Why a bay temperature cannot be; none when nothing was typed."""
    if not text.strip():
        return []
    kelvin = temperature_shown(text)
    if kelvin is not None and COLDEST <= kelvin <= WARMEST:
        return []
    sentence = phrase("Type the bay temperature with its unit, from −4 to 122 °F (−20 to 50 °C).")
    return [blocked("temperature-absurd", sentence, "temperature")]


def _electronic_findings(
    text: str, value: float, at_most: float, here: Conditions, field: str, gauge: str
) -> list[Finding]:
    if "compound" in gauge.casefold():
        sentence = phrase(
            "A compound gauge shows no {text}. Type what it shows, in inHg, or name the gauge that was read.",
            text=text,
        )
        return [blocked("micron-on-compound", sentence, field)]
    if at_most < MICRON:
        sentence = phrase(
            "{text} is less than any pump leaves behind. Type what the gauge shows, with its unit.", text=text
        )
        return [blocked("vacuum-below-all", sentence, field)]
    if value * (1 - ELECTRONIC_ERROR) > here.air + _weather(here):
        sentence = phrase(
            "{text} is more than the air here: {micron} micron. Check the unit.",
            text=text,
            micron=rounded(here.air / MICRON, -4),
        )
        return [blocked("vacuum-above-air", sentence, field)]
    return _unit_findings(text, field)


def _unit_findings(text: str, field: str) -> list[Finding]:
    read = shown(text)
    low, high = INHG_TYPED_AS_MICRON
    if read is None or not read.unit.startswith("micron") or not low <= read.value <= high:
        return []
    if read.step < 1:
        sentence = phrase(
            "No gauge for cars shows {text}. If a compound gauge showed it, choose inHg.", text=text
        )
        return [blocked("micron-or-inhg", sentence, field)]
    sentence = phrase(
        "{text} is hardly ever reached. If a compound gauge showed it, its unit is inHg. No more is said of it.",
        text=text,
    )
    return [warned("micron-or-inhg", sentence, field)]


def _compound_findings(text: str, below: float, here: Conditions, field: str) -> list[Finding]:
    error = here.u_gauge * math.sqrt(3)  # either way, as the shop rules have it
    air = rounded(here.air / INHG, 1)
    if below > here.air + _weather(here) + error:
        sentence = phrase(
            "{text} cannot be: the air here is about {air} inHg ({said}), and no vacuum is deeper. Zero the gauge;"
            " check the unit and the shop's height, or type a barometer.",
            text=text,
            air=air,
            said=here.air_said,
        )
        return [blocked("vacuum-too-deep", sentence, field)]
    if below > here.air:
        sentence = phrase(
            "{text} is deeper than the air here, about {air} inHg ({said}). It is read as zero, and no more is said."
            " Zero the gauge, or type a barometer.",
            text=text,
            air=air,
            said=here.air_said,
        )
        return [warned("vacuum-past-air", sentence, field)]
    if below < -error and field in ("deepest", "hold_from"):
        sentence = phrase(
            "{text} is above the air, so it is no vacuum. Below the air, psi, kPa and bar have a minus.",
            text=text,
        )
        return [blocked("no-vacuum", sentence, field)]
    return []


def _weather(here: Conditions) -> float:
    """Pa by which the air may be more than said: weather where only the height is known, little by a barometer."""
    return WEATHER * here.u_air / WEATHER_U
