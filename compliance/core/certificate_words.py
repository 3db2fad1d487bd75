"""The sentences at the top of a service certificate: what a customer reads in half a minute."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.certificate_facts import CertificateFacts, ChargeFactsPrinted, LeakCheckFacts, System
from compliance.core.charge_sum import charge_sum, label_text, tolerance_text
from compliance.core.wording import GLUE, both, listed, said, sentence, spelled

METHODS = {
    "eyes": "by eye",
    "electronic detector": "with an electronic detector",
    "dye": "with dye",
    "soap solution": "with a soap solution",
    "nitrogen": "with nitrogen under pressure",
    "vacuum hold": "with a vacuum hold",
}
SOURCES = {
    "": "The label",
    "under-hood label": "The label under the hood",
    "service information": "The service information",
    "other source": "The source we used",
}


def in_words(facts: CertificateFacts) -> str:
    """The whole job in a few plain sentences."""
    charged = facts.charge is not None and facts.stop is None
    lines = _charged(facts) if charged else _not_charged(facts)
    return " ".join(line for line in lines if line)


def taken_out_first(facts: CertificateFacts) -> int:
    """What came out of the vehicle before the charge, in micrograms; what came back out of the charge is not in it."""
    back = facts.charge.recovered_back_ug if facts.charge is not None else 0
    return sum(one.out_ug for one in facts.recoveries) - back


def leak_result(result: str) -> str:
    """A result as it is printed; none seen is said as that, since no test finds every leak."""
    return {"no leak seen": "none seen", "leak found": "leak found", "not tested": "not tested"}.get(
        result, said(result)
    )


def _charged(facts: CertificateFacts) -> Iterator[str]:
    charge, system = facts.charge, facts.system
    if charge is None:
        return
    sums = charge_sum(charge)
    yield (
        f"We put {spelled(sums.vehicle, sums.places)} of {system.refrigerant} into your car's air conditioning."
    )
    yield _asked(system, charge)
    yield _first_out(facts)
    if facts.repairs:
        yield sentence(f"Repaired: {facts.repairs}")
    yield _leaks(facts)


def _asked(system: System, charge: ChargeFactsPrinted) -> str:
    if system.charge_ug is None:
        return "No charge weight from a label was recorded."
    source = SOURCES.get(system.source, f"The {system.source}")
    asked = f"{source} asks for {label_text(system).replace(f'{GLUE}g (', f'{GLUE}grams (')}"
    tolerance = tolerance_text(system)
    asked += f", give or take {tolerance.removeprefix('±' + GLUE)}." if tolerance.startswith("±") else "."
    if charge.deviation_ug is None:
        asked += " The system was not emptied first, so the total in it now is unknown."
    return asked


def _first_out(facts: CertificateFacts) -> str:
    if not facts.recoveries:
        return ""
    first = taken_out_first(facts)
    return (
        f"We first took out {spelled(first)}."
        if first
        else "We tried to take out what was in it; nothing came."
    )


def _leaks(facts: CertificateFacts) -> str:
    """The last check speaks; one that found a leak before it is not passed over."""
    if not facts.leak_checks:
        return "We did not look for leaks."
    last = facts.leak_checks[-1]
    if last.result == "leak found":
        return sentence(f"We found a leak: {said(last.detail)}")
    if last.result != "no leak seen":
        return "We did not test for leaks."
    how = listed(list(_methods(facts, last)))
    earlier = [check for check in facts.leak_checks[:-1] if check.result == "leak found"]
    again = f"We found a leak first ({said(earlier[-1].detail)}). " if earlier else ""
    looked = "We looked again" if earlier else "We looked for leaks"
    return f"{again}{looked} {how} and saw none."


def _methods(facts: CertificateFacts, check: LeakCheckFacts) -> Iterator[str]:
    holds = [one.hold_minutes for one in facts.evacuations if one.result == "held"]
    named = [name.strip() for name in check.methods.split(",") if name.strip()]
    if holds and "vacuum hold" not in named:
        named.append("vacuum hold")
    for name in named:
        if name == "vacuum hold" and holds:
            yield f"with a {holds[-1]}-minute vacuum hold"
        else:
            yield METHODS.get(name, f"with {name}")


def _not_charged(facts: CertificateFacts) -> Iterator[str]:
    stop, charge = facts.stop, facts.charge
    yield "We did not charge your car's air conditioning."
    if stop is not None:
        yield sentence(f"The job was stopped: {said(stop.why)}")
    else:
        yield "The work asked for ended before a charge."
    if facts.recoveries:
        yield f"We took out {spelled(taken_out_first(facts))} of {facts.system.refrigerant}."
    if charge is not None:
        sums = charge_sum(charge)
        out = both(sums.out, sums.places)
        yield f"{out} had left the cans before the job was stopped; the table says where it went."
    if stop is not None:
        yield sentence(f"The car now: {said(stop.state_now)}")
        yield sentence(f"Your choice: {said(stop.choice)}")
