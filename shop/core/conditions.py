"""What a reading was taken under: the air of the place, and how well its gauge and thermometer can be read."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shop.core.air import FOOT, WEATHER_U, standard_air
from shop.core.decision import u_rectangular
from shop.core.findings import Finding, blocked
from shop.core.gauge import PSI, rounded, shown
from shop.core.house import HouseRules
from shop.core.phrase import phrase

BAROMETER = {
    "inhg": 3386.389,
    "hpa": 100.0,
    "mbar": 100.0,
    "kpa": 1000.0,
}  # Pa; absolute, unlike a manifold gauge
BAROMETER_U = 100.0  # Pa, standard: a barometer read to 0.1 inHg (tool's own choice)
LEAST, MOST = 55_000.0, 110_000.0  # Pa of the air where cars are repaired


@dataclass(frozen=True, slots=True)
class Conditions:
    """``air`` is Pa with standard uncertainty ``u_air``; ``air_said`` tells a reader how it is known.

    ``gauge_step`` (Pa) is what two readings of one gauge can be told apart by; ``u_gauge`` (Pa, standard) is how far
    off the gauge may be; ``u_temperature`` (K, standard) the thermometer.
    """

    air: float
    u_air: float
    air_said: str
    gauge_step: float
    u_gauge: float
    u_temperature: float


def conditions(rules: HouseRules) -> Conditions:
    """By the shop's rules: the standard atmosphere at its height."""
    return Conditions(
        air=standard_air(float(rules.altitude_ft) * FOOT),
        u_air=WEATHER_U,
        air_said=_height(int(rules.altitude_ft)),
        gauge_step=float(rules.gauge_step_psi) * PSI,
        u_gauge=u_rectangular(float(rules.gauge_error_psi) * PSI),
        u_temperature=u_rectangular(float(rules.thermometer_error_f) / 1.8),
    )


def _height(feet: int) -> str:
    if feet == 0:
        return phrase("sea level, as the shop rules say")
    return phrase("{feet} ft, standard air", feet=rounded(feet, 0))


def with_barometer(
    here: Conditions, text: str, *, field: str = "barometer"
) -> tuple[Conditions, list[Finding]]:
    """The same with the air as a barometer showed it ("24.6 inHg", "833 hPa"); unchanged when nothing was typed.

    Station pressure is meant. What a weather report gives is corrected to sea level, and is refused where that shows.
    """
    if not text.strip():
        return here, []
    read = shown(text)
    if read is None or read.unit not in BAROMETER:
        sentence = phrase("Type what the barometer shows with its unit, for example 24.6 inHg or 833 hPa.")
        return here, [blocked("barometer-unread", sentence, field)]
    air = read.value * BAROMETER[read.unit]
    if not LEAST <= air <= MOST:
        sentence = phrase(
            "{text} is no air pressure where cars are repaired. Check the unit.", text=text.strip()
        )
        return here, [blocked("barometer-absurd", sentence, field)]
    if abs(air - here.air) > 5_000:
        sentence = phrase(
            "{text} does not fit the shop's height: about {inhg} inHg is expected there. A weather report is corrected"
            " to sea level; type the station pressure, or set the height in the shop rules.",
            text=text.strip(),
            inhg=rounded(here.air / BAROMETER["inhg"], 1),
        )
        return here, [blocked("barometer-corrected", sentence, field)]
    said = phrase("barometer {text}", text=text.strip())
    return replace(here, air=air, u_air=BAROMETER_U, air_said=said), []
