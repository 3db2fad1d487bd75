"""The readings of a leak-test hold as they were typed: what cannot be, and the hold that core.leak computes with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from compliance.core.leak import COLDEST, HOTTEST, LEAST_G, MOST_G, Hold, Static
from inventory.core.properties import FLUIDS, Fluid
from shop.core.conditions import Conditions
from shop.core.findings import Finding, blocked
from shop.core.gauge import (
    ATMOSPHERE,
    DEGREES_C,
    DEGREES_F,
    Scale,
    in_psig,
    pressure_shown,
    rounded,
    shown,
    temperature_shown,
)
from shop.core.phrase import phrase

LEAST_KELVIN = 233.15  # -40 °C, where both scales of a thermometer meet; no bay is colder
FROM_ZERO = ("psia", "kpaa", "bara")


@dataclass(frozen=True, slots=True)
class HoldTyped:
    """A hold as typed: gauge and thermometer as text with their units, "" where nothing was read. The field names are
    those of the leak-test form. ``minutes`` are meant ones as long as nothing was typed for the end."""

    refrigerant: str
    minutes: int
    mass_g: float = 0.0
    u_mass_g: float = 0.0
    pressure_start: str = ""
    temperature: str = ""
    pressure_end: str = ""
    temperature_end: str = ""
    volume_l: float | None = None

    @property
    def ended(self) -> bool:
        return bool(self.pressure_end or self.temperature_end)


@dataclass(frozen=True, slots=True)
class Unknown:
    """Nothing can be said, and why: a whole sentence."""

    why: str


def hold_problems(typed: HoldTyped, here: Conditions) -> list[Finding]:
    """Readings that cannot be, each on its field. Text that is no reading stays as it was typed; it only says less."""
    fluid = FLUIDS.get(typed.refrigerant)
    return [
        *_pressure_problems("pressure_start", typed.pressure_start, fluid, here),
        *_pressure_problems("pressure_end", typed.pressure_end, fluid, here),
        *_temperature_problems("temperature", typed.temperature),
        *_temperature_problems("temperature_end", typed.temperature_end),
    ]


def _pressure_problems(field: str, text: str, fluid: Fluid | None, here: Conditions) -> Iterator[Finding]:
    read, pressure = shown(text), pressure_shown(text)
    if read is not None and read.unit in FROM_ZERO:
        sentence = phrase("{text} counts from zero. Type what the gauge shows above the air.", text=text)
        yield blocked("pressure-absolute", sentence, field)
    if pressure is None:
        return
    absolute = pressure.absolute(here.air)
    most = fluid.critical[1] if fluid is not None else 50 * ATMOSPHERE
    if pressure.scale is not Scale.ABOVE_AIR:
        sentence = phrase(
            "{text} is a reading of vacuum. Type the pressure above the air, in psi, kPa or bar.", text=text
        )
        yield blocked("pressure-vacuum", sentence, field)
    elif absolute <= 0:
        sentence = phrase(
            "{text} is less than nothing: the gauge can show {least} psi at least. Type it again.",
            text=text,
            least=rounded(in_psig(0, here.air), 1),
        )
        yield blocked("pressure-impossible", sentence, field)
    elif absolute > most:
        sentence = phrase("No system at rest reaches {text}. Read the gauge and its unit again.", text=text)
        yield blocked("pressure-impossible", sentence, field)


def _temperature_problems(field: str, text: str) -> Iterator[Finding]:
    read, kelvin = shown(text), temperature_shown(text)
    if read is None or read.unit not in (*DEGREES_F, *DEGREES_C):
        return
    if kelvin is None or not LEAST_KELVIN <= kelvin <= HOTTEST:
        sentence = phrase(
            "{text} is no temperature of a bay: from −40 to 140 °F (−40 to 60 °C). Check the unit.", text=text
        )
        yield blocked("temperature-impossible", sentence, field)


def hold_of(typed: HoldTyped, here: Conditions) -> Hold | Unknown:
    """What core.leak computes with, or why nothing can be computed. Never raises."""
    fluid = FLUIDS.get(typed.refrigerant)
    if fluid is None:
        return Unknown(phrase("There are no equations for {refrigerant}.", refrigerant=typed.refrigerant))
    if not LEAST_G <= typed.mass_g <= MOST_G:
        return Unknown(_grams_beyond(typed.mass_g))
    problems = hold_problems(typed, here)
    if problems:
        return Unknown(problems[0].message)
    start = _static(typed.pressure_start, typed.temperature, phrase("at the start"), here)
    if isinstance(start, Unknown):
        return start
    end = _static(typed.pressure_end, typed.temperature_end, phrase("at the end"), here)
    hold = Hold(fluid, typed.mass_g, typed.u_mass_g, start, None, typed.minutes, here, typed.volume_l)
    if isinstance(end, Unknown):
        return replace(hold, lacks=end.why) if typed.ended else hold
    return replace(hold, end=end)


def _grams_beyond(grams: float) -> str:
    return phrase(
        "{grams} g put in is outside what this sum covers: {least} to {most} g.",
        grams=rounded(grams, 0),
        least=rounded(LEAST_G, 0),
        most=rounded(MOST_G, 0),
    )


def _static(pressure_text: str, temperature_text: str, when: str, here: Conditions) -> Static | Unknown:
    pressure, kelvin = pressure_shown(pressure_text), temperature_shown(temperature_text)
    if pressure is None:
        return Unknown(phrase("Type the pressure {when}, with its unit.", when=when))
    if kelvin is None:
        return Unknown(phrase("Type the temperature {when}, with its unit.", when=when))
    if not COLDEST <= kelvin <= HOTTEST:
        return Unknown(
            phrase("{text} is colder than the equations cover (−20 °C, −4 °F).", text=temperature_text)
        )
    return Static(pressure.absolute(here.air), kelvin, max(pressure.step, here.gauge_step))
