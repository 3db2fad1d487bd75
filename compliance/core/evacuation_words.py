"""What is said of an evacuation: the answer on a page, and the facts of it that a certificate keeps."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.certificate_facts import VacuumFacts
from compliance.core.evacuation import TWICE, GaugeKind, Judged, Rise, Told, Vacuum
from shop.core.air import TRIPLE_POINT
from shop.core.answer import Answer, answer_of, unknown
from shop.core.findings import Weight
from shop.core.gauge import INHG, MICRON, in_celsius, in_fahrenheit, rounded
from shop.core.phrase import phrase

BASIS = phrase(
    "Standard atmosphere or barometer; IAPWS-IF97 for water, R14-08 for ice; GUM. The limits between leak and vapour,"
    " 0.8 and 0.6, are this tool's own choice."
)
GROSS_ONLY = phrase(
    "A vacuum hold shows gross leaks only, far larger than what a leak detector is set to find. No leak rate follows"
    " from it."
)
SEEN = {
    Judged.STEADY: phrase("The pressure rises without slowing down, as with a leak; hoses and valves count."),
    Judged.SLOWING: phrase(
        "The rise slows down, as when moisture or refrigerant leaves the oil. Pump on, and hold again."
    ),
    Judged.INCONCLUSIVE: phrase("Leak or moisture: inconclusive. Read again later."),
    Judged.FELL: phrase("The reading fell during the hold: let the gauge settle, and hold again."),
    Judged.NOT_JUDGED: phrase(
        "It rose. Two readings cannot tell a leak from moisture; a third, half way, may."
    ),
}


def evacuation_answer(told: Told) -> Answer:
    """The judgement of a hold when there is one, else what the deepest reading means."""
    for finding in told.findings:
        if finding.blocks:
            return answer_of(finding)
    if told.deepest is None:
        return unknown(phrase("The deepest reading is no number with a unit of pressure."))
    sentences = [*_judgement(told), *_depth(told, told.deepest), *_limits(told)]
    asks = bool(told.findings) or not told.pulls or told.judged is Judged.STEADY
    return Answer(
        sentences[0],
        tuple(sentences[1:]),
        tuple(_numbers(told, told.deepest)),
        Weight.WARNS if asks else Weight.NOTE,
        BASIS,
    )


def _judgement(told: Told) -> Iterator[str]:
    if told.judged in (Judged.STEADY, Judged.SLOWING, Judged.INCONCLUSIVE):
        yield SEEN[told.judged]


def _depth(told: Told, deepest: Vacuum) -> Iterator[str]:
    """What the pump reached, each thing that must be looked at before it."""
    yield from dict.fromkeys(finding.message for finding in told.findings)
    if told.doubtful:
        return
    if deepest.boils is None:
        yield phrase("The gauge shows zero; how deep the vacuum is cannot be read from that.")
    elif deepest.kind is GaugeKind.COMPOUND:
        yield _compound(told)
    else:
        yield _boils(told, deepest, deepest.boils)


def _compound(told: Told) -> str:
    if told.pulls:
        return phrase("The pump pulls. Whether the system is dry, a compound gauge cannot tell.")
    return phrase(
        "With what this gauge and the air may be off by, this does not even show that the pump pulls."
    )


def _boils(told: Told, deepest: Vacuum, boils: float) -> str:
    said = {"reading": told.readings.deepest.strip(), "boils": degrees(boils)}
    if told.kelvin is None:
        return phrase(
            "At {reading} water boils at {boils}. That it boils does not show that all of it left.", **said
        )
    bay, spread = degrees(told.kelvin), TWICE * told.here.u_temperature
    if told.kelvin - spread > deepest.boils_at_most:
        return phrase(
            "At {reading} water boils at {boils}: it boils off in a bay at {bay}. That does not show that all of it"
            " left.",
            bay=bay,
            **said,
        )
    return phrase(
        "At {reading} water boils at {boils}: that it boils off in a bay at {bay} is not shown.",
        bay=bay,
        **said,
    )


def _limits(told: Told) -> Iterator[str]:
    if told.above_water:
        yield phrase("At its end the pressure was above that of water in this bay: it cannot be water alone.")
    if told.judged is Judged.NOT_SEEN and told.rise is not None:
        yield phrase(
            "No rise that this gauge could tell; it takes {least}.",
            least=_size(told.rise.kind, TWICE * told.rise.u),
        )
    elif told.judged in (Judged.FELL, Judged.NOT_JUDGED):
        yield SEEN[told.judged]
    elif told.rise is None and told.readings.hold_from.strip() and told.readings.hold_to.strip():
        yield phrase("The two ends of the hold cannot be compared: read one gauge, in one unit, at both.")
    if told.rise is not None:
        yield GROSS_ONLY


def _numbers(told: Told, deepest: Vacuum) -> Iterator[tuple[str, str]]:
    here = told.here
    yield phrase("Air here"), _with(f"{rounded(here.air / INHG, 1)} inHg", here.air_said)
    if not told.doubtful:
        yield phrase("Left in the system"), _absolute(deepest)
    if deepest.boils is not None and not told.doubtful:
        yield phrase("Water boils there at"), _boiling(deepest, deepest.boils)
    if told.rise is not None:
        minutes = rounded(told.readings.minutes, 0)
        size = phrase(
            "{rise}, give or take {spread}",
            rise=signed_size(told.rise),
            spread=_size(told.rise.kind, TWICE * told.rise.u),
        )
        yield phrase("Rise in {minutes} min", minutes=minutes), size
    if told.ratio is not None:
        said = phrase(
            "{ratio}, give or take {spread} (a leak 1, vapour less; read at equal times)",
            ratio=rounded(told.ratio.value, 2),
            spread=rounded(TWICE * told.ratio.u, 2),
        )
        yield phrase("Second half of the rise over the first"), said


def _absolute(one: Vacuum) -> str:
    """Micron only where the gauge counts from nothing."""
    if one.micron is not None:
        return phrase(
            "{micron} micron, give or take {spread}",
            micron=rounded(one.micron, 0),
            spread=rounded(TWICE * one.u / MICRON, 0),
        )
    if one.pascal == 0:
        return phrase("read as zero")
    return phrase(
        "{kpa} kPa absolute, give or take {spread}",
        kpa=rounded(one.pascal / 1000, 1),
        spread=rounded(TWICE * one.u / 1000, 1),
    )


def _boiling(one: Vacuum, boils: float) -> str:
    if one.kind is GaugeKind.ELECTRONIC:
        return phrase("{boils}, from ice", boils=degrees(boils)) if boils < TRIPLE_POINT else degrees(boils)
    return phrase(
        "{boils} as read; up to {most} with what gauge and air may be off by",
        boils=degrees(boils),
        most=degrees(one.boils_at_most),
    )


def _with(value: str, said: str) -> str:
    return phrase("{value}, {said}", value=value, said=said)


def degrees(kelvin: float) -> str:
    """ "68 °F (20 °C)"."""
    return f"{rounded(in_fahrenheit(kelvin), 0)} °F ({rounded(in_celsius(kelvin), 0)} °C)"


def signed_size(rise: Rise) -> str:
    """With its sign, in a unit of the gauge that was read: "+120 micron", "−0.4 inHg"."""
    sign = "+" if rise.pascal > 0 else "−" if rise.pascal < 0 else ""
    return sign + _size(rise.kind, abs(rise.pascal))


def _size(kind: GaugeKind, pascal: float) -> str:
    if kind is GaugeKind.ELECTRONIC:
        return f"{rounded(pascal / MICRON, 0)} micron"
    return f"{rounded(pascal / INHG, 1)} inHg"


def vacuum_facts(told: Told) -> VacuumFacts | None:
    """What a certificate keeps, in numbers and in words of our own; None when the deepest reading is no pressure."""
    deepest = told.deepest
    if deepest is None:
        return None
    boils = deepest.boils if deepest.kind is GaugeKind.ELECTRONIC and not told.doubtful else None
    return VacuumFacts(
        gauge=deepest.kind.value,
        air=f"{rounded(told.here.air / INHG, 1)} inHg",
        pulls=told.pulls,
        boils="" if boils is None else degrees(boils),
        rise="" if told.rise is None else signed_size(told.rise),
        judged="" if told.judged is None else told.judged.value,
    )
