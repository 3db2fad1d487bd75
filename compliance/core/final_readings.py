"""The final readings of a running system: what can be worked out of them, and what cannot be.

Pressures and vent temperature depend on compressor, condenser air, speed, heat load and blend doors, so that nothing
from label charge, outdoor air and humidity fixes them: no charge is told from them, and none of them is ever a pass.
What can be worked out: saturation temperatures, their distance from the outdoor air, the heat taken from the air, and
a few readings that cannot be. Pa absolute and K throughout; property equations: inventory.core.properties.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass

from compliance.core.stage_rules import FINAL_READINGS
from inventory.core.properties import Fluid
from shop.core.air import MoistAir, ratio_of_wet_bulb, relative_humidity, water_pressure
from shop.core.conditions import Conditions
from shop.core.decision import combined
from shop.core.findings import Finding, warned
from shop.core.gauge import KELVIN, Scale, pressure_shown, shown, temperature_shown
from shop.core.phrase import phrase
from shop.core.rule_rows import Look

HYGROMETER_U = 0.05  # of RH, standard: a small digital hygrometer (tool's own choice)
COLDER_THAN_COIL = (
    2.0  # K; air leaves a coil warmer than the refrigerant in it, but for the thermometer's place
)
OUTLET_HUMIDITY = 0.95  # air that leaves a wet coil; the tool's own choice
COLDEST, HOTTEST = KELVIN - 40, KELVIN + 80  # what a thermometer in a bay shows
AIR_COLDEST, AIR_HOTTEST = KELVIN - 10, KELVIN + 50  # where the heat taken from the air is worked out


@dataclass(frozen=True, slots=True)
class Typed:
    """Readings as typed, each with its unit; "" when it was not taken. ``inlet`` is the air that goes in."""

    vent: str = ""
    inlet: str = ""
    outdoor: str = ""
    humidity: str = ""
    low_side: str = ""
    high_side: str = ""


@dataclass(frozen=True, slots=True)
class Readings:
    """The same in K and Pa absolute; None when not taken or not readable. ``humidity`` is 0 to 1 at ``going_in``,
    and outside that when somebody read it wrong."""

    vent: float | None
    inlet: float | None
    outdoor: float | None
    humidity: float | None
    low_side: float | None
    high_side: float | None

    @property
    def going_in(self) -> float | None:
        """The air that the humidity was read in: at the inlet, else outdoors."""
        return self.inlet if self.inlet is not None else self.outdoor


@dataclass(frozen=True, slots=True)
class Worked:
    """What follows: K of condensing and evaporating with standard uncertainties, how far condensing lies above the
    outdoor air, J per kg of dry air taken out of it. None: its readings were not taken, or lie out of range."""

    readings: Readings
    condensing: float | None = None
    u_condensing: float = 0.0
    evaporating: float | None = None
    u_evaporating: float = 0.0
    approach: float | None = None
    u_approach: float = 0.0
    heat: float | None = None
    u_heat: float = 0.0
    findings: tuple[Finding, ...] = ()


def typed_problems(typed: Typed) -> list[Finding]:
    """Text that no gauge or thermometer shows; each finding names its field. Nothing else is ever refused."""
    return Look({}, asdict(typed)).judge(FINAL_READINGS)


def readings(typed: Typed, here: Conditions) -> Readings:
    """The typed text as numbers under the air of the place; what cannot be read counts as not taken."""
    inlet, outdoor = temperature_shown(typed.inlet), temperature_shown(typed.outdoor)
    dry = inlet if inlet is not None else outdoor
    return Readings(
        temperature_shown(typed.vent),
        inlet,
        outdoor,
        _humidity(typed.humidity, dry, here.air),
        _absolute(typed.low_side, here.air),
        _absolute(typed.high_side, here.air),
    )


def _absolute(text: str, air: float) -> float | None:
    read = pressure_shown(text)
    if read is None or read.scale is Scale.ABSOLUTE:
        return None
    pascal = read.absolute(air)
    return pascal if pascal > 0 else None


def _humidity(text: str, dry: float | None, air: float) -> float | None:
    read = shown(text)
    if read is None:
        return None
    if read.unit in ("%", "% rh"):
        return read.value / 100
    bulb = _bulb(text)
    if bulb is None or dry is None:
        return None
    kelvin, is_wet = bulb
    if not COLDEST <= min(kelvin, dry) <= max(kelvin, dry) <= HOTTEST:
        return None
    if not is_wet:
        return water_pressure(kelvin) / water_pressure(dry)
    return relative_humidity(ratio_of_wet_bulb(dry, kelvin, air), dry, air)


def _bulb(text: str) -> tuple[float, bool] | None:
    """K of a wet bulb (True) or of a dew point (False) such as "68 °F wet bulb"."""
    for words, is_wet in (("wet bulb", True), ("dew point", False)):
        number, there, _ = text.lower().partition(words)
        kelvin = temperature_shown(number) if there else None
        if kelvin is not None:
            return kelvin, is_wet
    return None


def work_out(read: Readings, fluid: Fluid | None, here: Conditions) -> Worked:
    """Everything that follows from the readings. Without ``fluid`` (no equations for it) no temperatures of it."""
    condensing, u_condensing = _saturation(read.high_side, fluid, here)
    evaporating, u_evaporating = _saturation(read.low_side, fluid, here)
    approach = condensing - read.outdoor if condensing is not None and read.outdoor is not None else None
    heat, u_heat = _heat(read, here)
    return Worked(
        read,
        condensing,
        u_condensing,
        evaporating,
        u_evaporating,
        approach,
        combined(u_condensing, here.u_temperature),
        heat,
        u_heat,
        tuple(_cannot_be(read, evaporating, fluid, here)),
    )


def _saturation(pascal: float | None, fluid: Fluid | None, here: Conditions) -> tuple[float | None, float]:
    if pascal is None or fluid is None or not fluid.covers_pressure(pascal):
        return None, 0.0
    kelvin = fluid.temperature(pascal)
    return kelvin, combined(here.u_gauge, here.u_air) / fluid.slope(kelvin)


def _heat(read: Readings, here: Conditions) -> tuple[float | None, float]:
    """Enthalpy of the air going in less that of the air at the vent; u from its three readings, one at a time."""
    dry, humidity, vent = read.going_in, read.humidity, read.vent
    if dry is None or humidity is None or vent is None or not 0 < humidity <= 1:
        return None, 0.0
    if not all(AIR_COLDEST <= kelvin <= AIR_HOTTEST for kelvin in (dry, vent)):
        return None, 0.0
    heat = heat_taken(dry, humidity, vent, here.air)
    step, moist = here.u_temperature, humidity - HYGROMETER_U
    return heat, combined(
        heat_taken(dry + step, humidity, vent, here.air) - heat,
        heat_taken(dry, humidity, vent + step, here.air) - heat,
        heat_taken(dry, moist, vent, here.air) - heat,
    )


def heat_taken(dry: float, humidity: float, vent: float, pressure: float) -> float:
    """J per kg of dry air. The vent's air holds what went in, or what fits at 95 % RH when that is less."""
    entering = MoistAir(dry, max(humidity, 0.0), pressure)
    leaving = MoistAir(vent, OUTLET_HUMIDITY, pressure)
    kept = min(entering.ratio, leaving.ratio)
    return entering.enthalpy - MoistAir(vent, relative_humidity(kept, vent, pressure), pressure).enthalpy


def _cannot_be(
    read: Readings, evaporating: float | None, fluid: Fluid | None, here: Conditions
) -> Iterator[Finding]:
    """Readings that do not go together. Each asks for a look at the reading, none says what is wrong with the car."""
    pressures = list(_pressures_cannot_be(read, fluid, here))
    yield from pressures
    runs = not any(one.code == "not-running" for one in pressures)
    if (
        runs
        and evaporating is not None
        and read.vent is not None
        and read.vent < evaporating - COLDER_THAN_COIL
    ):
        sentence = phrase(
            "Vent air colder than the refrigerant that cools it cannot be. Read vent and low side again."
        )
        yield warned("vent-below-coil", sentence, "vent")
    if read.vent is not None and read.inlet is not None and read.vent > read.inlet:
        yield warned(
            "vent-above-inlet", phrase("Vent air is warmer than the air going in: it is not cooling."), "vent"
        )
    yield from _humidity_cannot_be(read)


def _humidity_cannot_be(read: Readings) -> Iterator[Finding]:
    humidity, dry = read.humidity, read.going_in
    if humidity is None:
        return
    if not 0 <= humidity <= 1:
        sentence = phrase(
            "Humidity is 0 to 100 %, and a wet bulb or dew point is not above the air's own temperature."
            " Read it again."
        )
        yield warned("humidity-absurd", sentence, "humidity")
    elif dry is None:
        yield warned(
            "humidity-alone", phrase("Humidity says something only beside a temperature."), "humidity"
        )


def _pressures_cannot_be(read: Readings, fluid: Fluid | None, here: Conditions) -> Iterator[Finding]:
    low, high, outdoor = read.low_side, read.high_side, read.outdoor
    still = fluid.pressure(outdoor) if fluid and outdoor is not None and fluid.covers(outdoor) else None
    if still is not None and fluid is not None and outdoor is not None:
        near = 2 * combined(here.u_gauge, here.u_air, fluid.slope(outdoor) * here.u_temperature)
        if low is not None and high is not None and max(abs(low - still), abs(high - still)) <= near:
            sentence = phrase(
                "Both sides show what a system at rest shows outdoors: the compressor was not running."
            )
            yield warned("not-running", sentence, "high_side")
            return
    if low is not None and high is not None and high <= low:
        sentence = phrase("The high side is not above the low side. Are the hoses swapped, or is it at rest?")
        yield warned("sides-swapped", sentence, "high_side")
    elif still is not None and high is not None and high < still:
        sentence = phrase(
            "The high side of a running system lies above the pressure at rest outdoors. Read both again."
        )
        yield warned("high-below-rest", sentence, "high_side")
