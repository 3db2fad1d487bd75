"""The sentences at the top of a service certificate: what a customer reads in half a minute."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.certificate_facts import CertificateFacts, ChargeFactsPrinted, LeakCheckFacts, System
from compliance.core.charge_sum import charge_sum, label_grams, label_ounces, tolerance_text
from compliance.core.wording import GLUE, both, listed, said, sentence, spelled
from shop.core.phrase import joined, phrase

METHODS = {
    "eyes": phrase("by eye"),
    "electronic detector": phrase("with an electronic detector"),
    "dye": phrase("with dye"),
    "soap solution": phrase("with a soap solution"),
    "nitrogen": phrase("with nitrogen under pressure"),
    "vacuum hold": phrase("with a vacuum hold"),
}
SOURCES = {
    "": phrase("The label"),
    "under-hood label": phrase("The label under the hood"),
    "service information": phrase("The service information"),
    "other source": phrase("The source we used"),
}


def in_words(facts: CertificateFacts) -> str:
    """The whole job in a few plain sentences."""
    charged = facts.charge is not None and facts.stop is None
    lines = _charged(facts) if charged else _not_charged(facts)
    return joined(" ", [line for line in lines if line])


def taken_out_first(facts: CertificateFacts) -> int:
    """What came out of the vehicle before the charge, in micrograms; what came back out of the charge is not in it."""
    back = facts.charge.recovered_back_ug if facts.charge is not None else 0
    return sum(one.out_ug for one in facts.recoveries) - back


def leak_result(result: str) -> str:
    """A result as it is printed; none seen is said as that, since no test finds every leak."""
    return {
        "no leak seen": phrase("none seen"),
        "leak found": phrase("leak found"),
        "not tested": phrase("not tested"),
    }.get(result, said(result))


def _charged(facts: CertificateFacts) -> Iterator[str]:
    charge, system = facts.charge, facts.system
    if charge is None:
        return
    sums = charge_sum(charge)
    yield (
        phrase(
            "We put {vehicle} of {refrigerant} into your car's air conditioning.",
            vehicle=spelled(sums.vehicle, sums.places),
            refrigerant=system.refrigerant,
        )
    )
    yield _asked(system, charge)
    yield _first_out(facts)
    if facts.repairs:
        yield sentence(phrase("Repaired: {repairs}", repairs=facts.repairs))
    yield _leaks(facts)


def _asked(system: System, charge: ChargeFactsPrinted) -> str:
    if system.charge_ug is None:
        return phrase("No charge weight from a label was recorded.")
    source = SOURCES.get(system.source, phrase("The {source}", source=system.source))
    asks = phrase(
        "{source} asks for {label}",
        source=source,
        label=_spelled_label(system),
    )
    tolerance = tolerance_text(system)
    asked = phrase("{asks}.", asks=asks)
    if tolerance.startswith("±"):
        asked = phrase(
            "{asks}, give or take {tolerance}.", asks=asks, tolerance=tolerance.removeprefix("±" + GLUE)
        )
    if charge.deviation_ug is not None:
        return asked
    unknown = phrase("The system was not emptied first, so the total in it now is unknown.")
    return joined(" ", [asked, unknown])


def _spelled_label(system: System) -> str:
    """The label's charge as a sentence says it; a label in ounces keeps its own figure in the brackets."""
    number = label_grams(system).removesuffix(f"{GLUE}g")
    return phrase("{number}{glue}grams ({ounces})", number=number, glue=GLUE, ounces=label_ounces(system))


def _first_out(facts: CertificateFacts) -> str:
    if not facts.recoveries:
        return ""
    first = taken_out_first(facts)
    return (
        phrase("We first took out {first}.", first=spelled(first))
        if first
        else phrase("We tried to take out what was in it; nothing came.")
    )


def _leaks(facts: CertificateFacts) -> str:
    """The last check speaks; one that found a leak before it is not passed over."""
    if not facts.leak_checks:
        return phrase("We did not look for leaks.")
    last = facts.leak_checks[-1]
    if last.result == "leak found":
        return sentence(phrase("We found a leak: {detail}", detail=said(last.detail)))
    if last.result != "no leak seen":
        return phrase("We did not test for leaks.")
    how = listed(list(_methods(facts, last)))
    earlier = [check for check in facts.leak_checks[:-1] if check.result == "leak found"]
    again = phrase("We found a leak first ({detail}). ", detail=said(earlier[-1].detail)) if earlier else ""
    looked = phrase("We looked again") if earlier else phrase("We looked for leaks")
    return phrase("{again}{looked} {how} and saw none.", again=again, looked=looked, how=how)


def _methods(facts: CertificateFacts, check: LeakCheckFacts) -> Iterator[str]:
    holds = [one.hold_minutes for one in facts.evacuations if one.result == "held"]
    named = [name.strip() for name in check.methods.split(",") if name.strip()]
    if holds and "vacuum hold" not in named:
        named.append("vacuum hold")
    for name in named:
        if name == "vacuum hold" and holds:
            yield phrase("with a {holds}-minute vacuum hold", holds=holds[-1])
        else:
            yield METHODS.get(name, phrase("with {name}", name=name))


def _not_charged(facts: CertificateFacts) -> Iterator[str]:
    stop, charge = facts.stop, facts.charge
    yield phrase("We did not charge your car's air conditioning.")
    if stop is not None:
        yield sentence(phrase("The job was stopped: {why}", why=said(stop.why)))
    else:
        yield phrase("The work asked for ended before a charge.")
    if facts.recoveries:
        yield phrase(
            "We took out {facts} of {refrigerant}.",
            facts=spelled(taken_out_first(facts)),
            refrigerant=facts.system.refrigerant,
        )
    if charge is not None:
        sums = charge_sum(charge)
        out = both(sums.out, sums.places)
        yield phrase(
            "{out} had left the cans before the job was stopped; the table says where it went.", out=out
        )
    if stop is not None:
        yield sentence(phrase("The car now: {state_now}", state_now=said(stop.state_now)))
        yield sentence(phrase("Your choice: {choice}", choice=said(stop.choice)))
