"""Air in a recovery cylinder: at rest, a cylinder with liquid in it shows the saturation pressure and nothing more.

More is air, or it is a mixture: R-134a and R-1234yf together boil higher than either (3 to 7 psi more at 100 °F), so
the gauge cannot tell the two apart, and purging cures only the one.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from inventory.core.cylinder import WATER
from inventory.core.properties import EQUATIONS, FLUIDS
from shop.core.answer import Answer
from shop.core.conditions import Conditions
from shop.core.decision import combined, u_resolution
from shop.core.findings import Finding, Weight, blocked
from shop.core.gauge import PSI, Scale, fahrenheit, in_psig, pressure_shown, rounded, temperature_shown
from shop.core.mass import Mass
from shop.core.phrase import phrase

LEAST_EXCESS = 5 * PSI  # what is flagged at least, however good the gauge
COLDEST_ASKED = fahrenheit(65)  # below, air and refrigerant are too close for a shop gauge
TOO_HOT = fahrenheit(125)  # no cylinder may be that hot (from memory)
LISTED = "R-134a"  # the only one with a published table of allowed pressures
CONDITIONS = phrase(
    "At 65 °F or warmer, out of the sun, at rest for hours, valves shut; the thermometer within 4 in of it."
)


class AirVerdict(StrEnum):
    FITS = "fits"
    EXCESS = "excess"
    LOW = "low"


@dataclass(frozen=True, slots=True)
class AirReadings:
    """What gauge and thermometer showed, as typed; ``water`` and ``held`` are the cylinder's, when they are known."""

    refrigerant: str
    pressure: str
    temperature: str
    water: Mass | None = None
    held: Mass | None = None


@dataclass(frozen=True, slots=True)
class AirFound:
    """The comparison, in Pa: absolute pressure in the cylinder, of pure refrigerant at its temperature, and of the air
    around; ``u`` is the standard uncertainty of the difference."""

    refrigerant: str
    pressure: float
    expected: float
    u: float
    air: float

    @property
    def excess(self) -> float:
        return self.pressure - self.expected

    @property
    def limit(self) -> float:
        """Pa of excess that is flagged beyond: 5 psi, or what the gauge and thermometer can show if that is more."""
        return max(LEAST_EXCESS, 2 * self.u)

    @property
    def verdict(self) -> AirVerdict:
        if self.excess > self.limit:
            return AirVerdict.EXCESS
        return AirVerdict.LOW if self.excess < -2 * self.u else AirVerdict.FITS

    @property
    def air_share(self) -> float:
        """Mole fraction of the vapour that would be air, if all of the excess were air."""
        return max(self.excess / self.pressure, 0.0)


def air_check(readings: AirReadings, here: Conditions) -> AirFound | Finding:
    """Compare; or one finding that says what has to be typed or done first, beside its field."""
    fluid = FLUIDS.get(readings.refrigerant)
    if fluid is None:
        sentence = phrase("Nobody knows what is in it, so nobody knows what its gauge should show.")
        return blocked("air-unknown", sentence, "refrigerant")
    kelvin = temperature_shown(readings.temperature)
    if kelvin is None:
        sentence = phrase("Type the temperature with its unit, for example 75 °F or 24 °C.")
        return blocked("temperature-unread", sentence, "temperature")
    if not COLDEST_ASKED - 1e-9 <= kelvin <= TOO_HOT:
        return _not_now(kelvin)
    shown = pressure_shown(readings.pressure)
    if shown is None or shown.scale is not Scale.ABOVE_AIR:
        sentence = phrase("Type what the manifold gauge shows with its unit, for example 78 psi or 540 kPa.")
        return blocked("pressure-unread", sentence, "pressure")
    pressure = shown.absolute(here.air)
    if not 0 < pressure < fluid.critical[1]:
        sentence = phrase(
            "{text} cannot be in a cylinder. Check the number and its unit.", text=readings.pressure
        )
        return blocked("pressure-absurd", sentence, "pressure")
    if _all_vapour(readings, fluid.vapour_density(kelvin)):
        sentence = phrase(
            "So little is in it that none of it is liquid: its pressure says nothing about air."
        )
        return blocked("air-no-liquid", sentence, "pressure")
    read = u_resolution(max(shown.step, here.gauge_step))
    u = combined(here.u_gauge, read, here.u_air, fluid.slope(kelvin) * here.u_temperature)
    return AirFound(fluid.code, pressure, fluid.pressure(kelvin), u, here.air)


def _not_now(kelvin: float) -> Finding:
    if kelvin < COLDEST_ASKED:
        sentence = phrase(
            "Too cold to judge: let it stand at 65 °F or warmer for some hours, then look again."
        )
        return blocked("air-cold", sentence, "temperature")
    sentence = phrase(
        "A cylinder must never be over 125 °F. Move it out of the heat, stand back, let it cool."
    )
    return blocked("air-hot", sentence, "temperature")


def _all_vapour(readings: AirReadings, density: float) -> bool:
    """Whether what is in the cylinder fits into it as vapour of this density (kg/m³)."""
    if readings.water is None or readings.held is None:
        return False
    return readings.held.ug <= readings.water.ug * density / WATER


def air_answer(found: AirFound) -> Answer:
    """In words, with what to do and what it does not show."""
    headline, says, weight = WORDS[found.verdict]
    numbers: tuple[tuple[str, str], ...] = (
        (phrase("Gauge, as read"), _psi(in_psig(found.pressure, found.air))),
        (phrase("Pure {gas} would show", gas=found.refrigerant), _psi(in_psig(found.expected, found.air))),
        (phrase("Over that"), _psi(found.excess / PSI, sign=True)),
        (phrase("Flagged beyond"), _psi(found.limit / PSI)),
        (phrase("Known to, give or take"), _psi(2 * found.u / PSI)),
    )
    if found.verdict is AirVerdict.EXCESS:
        share = phrase("{percent} % of the vapour", percent=rounded(100 * found.air_share, 0))
        numbers = (*numbers, (phrase("If all of it were air"), share))
    return Answer(headline, says, numbers, weight, _basis(found.refrigerant))


def _psi(value: float, *, sign: bool = False) -> str:
    shown = rounded(value, 1)
    return phrase("{psi} psi", psi=f"+{shown}" if sign and value > 0 else shown)


def _basis(refrigerant: str) -> str:
    if refrigerant == LISTED:
        return phrase(
            "Flagged beyond 5 psi over saturation, or twice the uncertainty if that is more: near the table of SAE"
            " J2211 for recycled R-134a (from memory). {equations}.",
            equations=EQUATIONS,
        )
    return phrase(
        "Flagged beyond 5 psi over saturation, or twice the uncertainty if that is more: the tool's own rule, no table"
        " was found for {gas}. {equations}.",
        gas=refrigerant,
        equations=EQUATIONS,
    )


WORDS: dict[AirVerdict, tuple[str, tuple[str, ...], Weight]] = {
    AirVerdict.FITS: (
        phrase("No excess pressure shown."),
        (
            phrase(
                "Less air than the limit below cannot be seen, and pressure alone cannot identify a refrigerant."
            ),
        ),
        Weight.NOTE,
    ),
    AirVerdict.EXCESS: (
        phrase("Air or mixed refrigerant. None of it goes into a car."),
        (
            phrase(
                "Try it with an identifier. A mixture shows the same as air, and purging does not cure a mixture."
            ),
            phrase(
                "Only air may be purged, by a recycling machine as its maker says. Venting refrigerant is no cure, and"
                " is forbidden: 40 CFR 82.154(a)."
            ),
        ),
        Weight.BLOCKS,
    ),
    AirVerdict.LOW: (
        phrase("Lower than any liquid of it can show."),
        (
            phrase(
                "It was not at rest, no liquid is left, it is another refrigerant, or the thermometer is warmer than"
                " the liquid. Let it stand and look again."
            ),
        ),
        Weight.WARNS,
    ),
}
