"""What the tests of a job could see, as its certificate says it: never more than gauge, time and temperature allow."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.certificate_facts import CertificateFacts, HoldFacts, LeakTestFacts
from compliance.core.hold_readings import Unknown
from compliance.core.hold_words import about, degrees, rounded_up, unexplained
from compliance.core.leak import Blind, Excess, Seeing, Seen
from compliance.core.wording import GLUE, duration
from inventory.core.properties import EQUATIONS
from shop.core.phrase import phrase

NO_DETECTOR = "none"
SHORT = phrase("The hold was too short.")
NO_SUCH_CAR = phrase("The pressure does not fit the grams put in.")


def hold_facts(seen: Seen | Unknown) -> HoldFacts:
    """What a certificate keeps of a hold, as text."""
    if isinstance(seen, Unknown):
        return HoldFacts("unknown", why=seen.why)
    hold, air = seen.hold, seen.hold.here.air_said
    for sight, at in ((seen.start, hold.start), (seen.end, hold.end)):
        if at is not None and isinstance(sight, Blind | Excess):
            name = "blind" if isinstance(sight, Blind) else "excess"
            return HoldFacts(name, degrees(at.kelvin), air=air, equations=EQUATIONS)
    why = _says_nothing(seen)
    change, rate = seen.change, seen.limit_kg_year
    if why or change is None or rate is None:
        return HoldFacts("unknown", why=why, air=air, equations=EQUATIONS)
    return HoldFacts(
        "seeing",
        degrees(hold.start.kelvin),
        limit=f"{rounded_up(seen.limit_g)}{GLUE}g",
        rate=f"{about(rate)}{GLUE}kg",
        off=f"{unexplained(seen)}{GLUE}psi" if change.fell or change.rose else "",
        gone=f"{about(change.loss_g)}{GLUE}g" if change.fell else "",
        air=air,
        equations=EQUATIONS,
    )


def _says_nothing(seen: Seen) -> str:
    if isinstance(seen.start, Seeing) and not seen.start.plausible:
        return NO_SUCH_CAR
    if seen.change is None:
        return seen.hold.lacks or phrase("There is no reading at the end.")
    return "" if seen.settled else SHORT


def hold_rows(one: LeakTestFacts) -> Iterator[tuple[str, str]]:
    """One row, or two when the pressure moved by itself. Papers from before these facts were kept have none."""
    if one.saw is not None:
        yield phrase("Could see"), _could_see(one, one.saw)
        if one.saw.off:
            yield phrase("Unexplained"), _unexplained(one.saw)


def _could_see(one: LeakTestFacts, saw: HoldFacts) -> str:
    if saw.sight == "seeing":
        return phrase(
            "Losses above {limit} in {minutes}, leaks above about {rate} a year: gross ones only.",
            limit=saw.limit,
            minutes=duration(one.minutes),
            rate=saw.rate,
        )
    if saw.sight == "blind":
        return phrase(
            "Nothing: blind at {degrees}. Some may have been liquid, and the gauge would read the same with less.",
            degrees=saw.degrees,
        )
    if saw.sight == "excess":
        return phrase(
            "Nothing: more pressure than this refrigerant alone has at {degrees}. Air, another refrigerant, or the"
            " readings.",
            degrees=saw.degrees,
        )
    return phrase("Not known. {why}", why=saw.why)


def _unexplained(saw: HoldFacts) -> str:
    if saw.gone:
        return phrase(
            "{off} below what the temperature explains, about {gone}. Oil can take it up too.",
            off=saw.off,
            gone=saw.gone,
        )
    return phrase("{off} above what the temperature explains.", off=saw.off)


def slow_leaks(facts: CertificateFacts) -> Iterator[tuple[str, str]]:
    """Which of the tests here can find slow leaks; once, for all checks. None for papers from before it was kept."""
    scales = [check.detector_scale for check in facts.leak_checks if check.detector_scale]
    used = [scale for scale in scales if scale != NO_DETECTOR]
    if used:
        yield (
            phrase("Slow leaks"),
            phrase(
                "Looked for with the electronic detector, set to {scale}{glue}g a year. A hold under pressure or vacuum"
                " shows gross leaks only.",
                scale=used[-1],
                glue=GLUE,
            ),
        )
    elif scales:
        yield (
            phrase("Slow leaks"),
            phrase(
                "Not looked for with an electronic detector. A hold under pressure or vacuum shows gross leaks only."
            ),
        )
