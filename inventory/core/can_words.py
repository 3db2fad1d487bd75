"""What the sums about a can come to, in words: where flow stops, what warming takes, what a heel weighs."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.core.can import (
    CAN_LIMIT,
    CHILLS,
    USUAL_SYSTEM,
    WARMEST_WATER,
    Flow,
    FlowJob,
    Stall,
    chilled,
    flow,
    flow_problems,
    heat_needed,
    small_can,
    vapour_held,
    water_cools,
)
from inventory.core.properties import EQUATIONS, FLUIDS
from shop.core.answer import Answer, answer_of
from shop.core.findings import Finding, Weight, noted
from shop.core.gauge import ATMOSPHERE, celsius, in_celsius, in_fahrenheit, in_psig, rounded
from shop.core.mass import Mass, Unit
from shop.core.phrase import phrase

BASIS = phrase(
    "d(U) = h dm for can and steel (0.47 kJ/kg K, from memory); system known to 30 %; {version}",
    version=EQUATIONS,
)
WATER = phrase("water at 95 to 104 °F (35 to 40 °C)")
BAY_RANGE = (celsius(10), celsius(30))  # when nobody wrote down how warm the bay is


def flow_answer(job: FlowJob, *, heel_pressure: float | None = None) -> Answer:
    """Where flow from this can stops by itself, and how to carry on. ``heel_pressure`` (Pa absolute) is what the gauge
    showed when the tap was shut."""
    found = flow_problems(job)
    if found:
        return answer_of(found[0])
    result = flow(job)
    says = (*_kept_warm(result), *_warming(result), *_heel(job, heel_pressure))
    weight = Weight.WARNS if job.target and result.falls_short else Weight.NOTE
    return Answer(_headline(result), says, tuple(_numbers(result)), weight, BASIS)


def _headline(result: Flow) -> str:
    small, large = result.unheated
    if small is None:
        return phrase("This can runs empty before its flow stops.")
    if large is None:
        return phrase("Without warming, flow stops near {low} g, or the can runs empty.", low=_g(small.drawn))
    return phrase(
        "Without warming, vapour stops flowing near {low} to {high} g.",
        low=_g(small.drawn),
        high=_g(large.drawn),
    )


def _kept_warm(result: Flow) -> tuple[str, ...]:
    small, large = result.kept_warm
    if small is not None and large is not None:
        said = phrase(
            "Held at {warm}, it stops near {low} to {high} g.",
            warm=_degrees(result.job.kelvin),
            low=_g(small.drawn),
            high=_g(large.drawn),
        )
        return (said,)
    return (
        phrase(
            "Held warmer than the system, it does not stop: liquid forms in the system. Only the scale says when to"
            " shut the tap."
        ),
    )


def _warming(result: Flow) -> tuple[str, ...]:
    job = result.job
    if not job.target:
        return ()
    if not result.falls_short:
        return (phrase("{target} g go over by themselves.", target=_g(job.target)),)
    if job.system > WARMEST_WATER:
        return (
            phrase("The system is warmer than any water may be: let it cool first, a hot system takes less."),
        )
    heat = heat_needed(job.can.refrigerant, job.target, job.kelvin)
    cools = water_cools(heat)
    return (
        phrase(
            "For {target} g, stand the can in {water}, never above what its label allows. It takes {heat} kJ: 1 L of"
            " water cools {kelvin} K ({fahrenheit} °F).",
            target=_g(job.target),
            water=WATER,
            heat=rounded(heat / 1000, 1),
            kelvin=rounded(cools, 1),
            fahrenheit=rounded(cools * 1.8, 0),
        ),
        phrase("Wipe it dry before it is weighed. The compressor starts only when the leak test is done."),
    )


def _heel(job: FlowJob, pressure: float | None) -> tuple[str, ...]:
    if pressure is None:
        return ()
    fluid = job.can.fluid
    if pressure >= fluid.pressure(job.kelvin):
        return (
            phrase("At that pressure there may be liquid left in the can: only the scale tells its heel."),
        )
    held = vapour_held(job.can.refrigerant, job.can.volume, job.kelvin, max(pressure, 0.0))
    if held is None:
        return ()
    return (
        phrase("With the gauge at that, {mass} g of vapour stay in the can as its heel.", mass=_g1(held)),
    )


def _numbers(result: Flow) -> list[tuple[str, str]]:
    job = result.job
    fluid, air = job.can.fluid, job.air
    rows: list[tuple[str, str]] = [
        (phrase("Can's pressure now"), f"{rounded(in_psig(fluid.pressure(job.kelvin), air), 0)} psi"),
        (
            phrase("At 125 °F (52 °C), where to stop"),
            f"{rounded(in_psig(fluid.pressure(CAN_LIMIT), air), 0)} psi",
        ),
    ]
    stalls = [one for one in result.unheated if one is not None]
    if stalls:
        rows.append((phrase("Can when flow has stopped"), _range(stalls)))
    cold = chilled(job.can, job.kelvin, CHILLS.grams / 1000)
    if cold is not None:
        label = phrase("Can after {mass} g of vapour", mass=CHILLS.rounded(Unit.G, 0))
        rows.append((label, _degrees(cold)))
    size = phrase(
        "{volume} mL, {steel} g of steel",
        volume=rounded(job.can.volume * 1e6, 0),
        steel=_g(job.can.steel),
    )
    rows.append((phrase("Can taken as"), size))
    return rows


def _range(stalls: list[Stall]) -> str:
    cold, warm = min(one.kelvin for one in stalls), max(one.kelvin for one in stalls)
    return phrase(
        "{cold} to {warm} °F ({cold_c} to {warm_c} °C)",
        cold=rounded(in_fahrenheit(cold), 0),
        warm=rounded(in_fahrenheit(warm), 0),
        cold_c=rounded(in_celsius(cold), 0),
        warm_c=rounded(in_celsius(warm), 0),
    )


@dataclass(frozen=True, slots=True)
class LeakTestFlow:
    """A leak-test charge to come: which can (masses as its kind says), how much, and how warm the bay is, if known."""

    refrigerant: str
    net: Mass
    shell: Mass
    target: Mass
    bay: float | None = None


def stall_hint(asked: LeakTestFlow) -> Finding | None:
    """Where flow will stop short of the leak-test charge; None where it will not, or where nothing can be said."""
    if asked.refrigerant not in FLUIDS:
        return None
    can = small_can(asked.refrigerant, asked.net.grams / 1000, asked.shell.grams / 1000)
    bays = (asked.bay, asked.bay) if asked.bay is not None else BAY_RANGE
    flows = []
    for kelvin in bays:
        job = FlowJob(can, kelvin, kelvin, USUAL_SYSTEM, asked.target.grams / 1000, ATMOSPHERE)
        if flow_problems(job):
            return None
        flows.append(flow(job))
    drawn = [one.drawn for result in flows for one in result.unheated if one is not None]
    if not drawn or not any(result.falls_short for result in flows):
        return None
    sentence = phrase(
        "Vapour may stop at {low} to {high} g ({bay}), short of {target} g: warm the can in water, at most {water}.",
        low=_g(min(drawn)),
        high=_g(max(drawn)),
        bay=_bay(bays),
        target=asked.target.rounded(Unit.G, 0),
        water=_degrees(WARMEST_WATER),
    )
    return noted("flow-stops", sentence)


def _bay(bays: tuple[float, float]) -> str:
    cold, warm = (rounded(in_fahrenheit(one), 0) for one in bays)
    if cold == warm:
        return phrase("bay at {warm} °F", warm=warm)
    return phrase("bay at {cold} to {warm} °F", cold=cold, warm=warm)


def _degrees(kelvin: float) -> str:
    return f"{rounded(in_fahrenheit(kelvin), 0)} °F ({rounded(in_celsius(kelvin), 0)} °C)"


def _g(kilograms: float) -> str:
    return rounded(kilograms * 1000, 0)


def _g1(kilograms: float) -> str:
    return rounded(kilograms * 1000, 1)
