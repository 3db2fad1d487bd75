"""The stages on a service certificate: taking out, looking for leaks, evacuating.

A stage that has nothing to show says why it was left out, in the words it was left with, or that nothing was recorded.
"""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.certificate_facts import (
    CertificateFacts,
    EvacuationFacts,
    LeakCheckFacts,
    LeakTestFacts,
    RecoveryFacts,
    SinceLastFacts,
    VacuumFacts,
)
from compliance.core.certificate_holds import hold_rows, slow_leaks
from compliance.core.certificate_words import leak_result
from compliance.core.paper import Block, Note, Pairs
from compliance.core.wording import NOT_RECORDED, at, both, duration, said, sentence, span, words
from shop.core.phrase import joined, phrase, word

SHOP_RULE, FEDERAL, OPTIONAL = phrase("Shop rule"), phrase("Federal"), phrase("Optional")
NO_TEST = phrase("No test finds every leak.")
GROSS = phrase("Shows gross leaks only.")
JUDGED = {  # by the values of compliance.core.evacuation.Judged
    "fell": phrase("the reading fell"),
    "not seen": phrase("less than the gauge can tell"),
    "not judged": phrase("leak and moisture not told apart"),
    "steady": phrase("steady, as with a leak"),
    "slowing": phrase("slowing, as with moisture or oil"),
    "inconclusive": phrase("leak or moisture, inconclusive"),
}


def absent(facts: CertificateFacts, stage: str, otherwise: str = NOT_RECORDED) -> str:
    """Why a stage has nothing to show, in the words it was left with."""
    reasons = [reason for name, reason in facts.skipped if name == stage]
    return sentence(joined("; ", [left_out(reason) for reason in reasons]) or otherwise)


def left_out(reason: str) -> str:
    """ "not needed: no leak was seen", as a stage was left; the first part is ours, the rest was typed."""
    outcome, colon, why = reason.partition(": ")
    return joined(": ", [word(outcome), why]) if colon else reason


def recoveries(facts: CertificateFacts) -> Iterator[Block]:
    """Part 6."""
    if not facts.recoveries:
        yield Note(absent(facts, "Recovery"), phrase("Taken out (recovery)"))
    for place, one in enumerate(facts.recoveries):
        again = "" if place == 0 else phrase(", time {place}", place=place + 1)
        yield Pairs(
            phrase("Taken out (recovery{again})", again=again),
            tuple(_recovery(one, facts.job_day)),
            SHOP_RULE,
        )


def _recovery(one: RecoveryFacts, on: str) -> Iterator[tuple[str, str]]:
    yield phrase("By"), joined(", ", [said(one.by), span(one.started, one.ended, on)])
    yield (
        phrase("Cylinder"),
        phrase(
            "{cylinder}, {before} before, {after} after",
            cylinder=said(one.cylinder),
            before=said(one.before),
            after=said(one.after),
        ),
    )
    yield phrase("Machine"), said(one.machine)
    yield phrase("Taken out"), both(one.out_ug)
    if one.gauge:
        yield phrase("Gauge before"), said(one.gauge)
    if one.identified:
        yield phrase("Identifier"), sentence(words(one.identified))
    if one.into:
        yield phrase("Kept as"), phrase("{into}, apart from all other refrigerant", into=word(one.into))
    if one.note:
        yield phrase("Note"), sentence(one.note)


def since_last(facts: CertificateFacts) -> Iterator[Block]:
    """One line beside the recovery: what was lost since the last charge here. Not known: nothing is printed."""
    if facts.since_last is not None:
        yield Note(_since_last(facts.since_last), phrase("Since the last charge here"))


def _since_last(one: SinceLastFacts) -> str:
    if not one.is_shown:
        return phrase(
            "No loss shown in the {days} days since {job}: {lost} g, give or take {give} g. Shop finding; no proof that"
            " nothing leaks.",
            days=one.days,
            job=one.job,
            lost=one.lost,
            give=one.lost_give,
        )
    lost = phrase(
        "About {lost} g lost in the {days} days since {job}, give or take {give} g",
        lost=one.lost,
        days=one.days,
        job=one.job,
        give=one.lost_give,
    )
    if not one.per_year:
        return phrase("{lost}. Shop finding.", lost=lost)
    return phrase(
        "{lost}: {rate} g a year, give or take {give} g. Shop finding.",
        lost=lost,
        rate=one.per_year,
        give=one.per_year_give,
    )


def leak_checks(facts: CertificateFacts) -> Iterator[Block]:
    """Part 7."""
    if not facts.leak_checks:
        yield Note(joined(" ", [absent(facts, "Leak check"), NO_TEST]), phrase("Leak check"))
    for place, one in enumerate(facts.leak_checks):
        last = place + 1 == len(facts.leak_checks)
        again = "" if place == 0 else phrase(", time {place}", place=place + 1)
        yield Pairs(
            phrase("Leak check{again}", again=again),
            tuple(_leak_check(one, facts, last=last)),
            SHOP_RULE,
        )


def _leak_check(one: LeakCheckFacts, facts: CertificateFacts, *, last: bool) -> Iterator[tuple[str, str]]:
    yield phrase("By"), joined(", ", [said(one.by), at(one.at, facts.job_day)])
    yield (
        phrase("How"),
        joined(
            "",
            [
                words(one.methods),
                phrase("; instrument {instrument}", instrument=one.instrument) if one.instrument else "",
            ],
        ),
    )
    yield phrase("Where"), words(one.places)
    found = [sentence(leak_result(one.result)), sentence(one.detail), NO_TEST if last else ""]
    yield phrase("Result"), joined(" ", [part for part in found if part])
    if last:
        yield from slow_leaks(facts)


def evacuations(facts: CertificateFacts) -> Iterator[Block]:
    """Part 9."""
    if not facts.evacuations:
        yield Note(absent(facts, "Evacuation"), phrase("Evacuation"))
    for place, one in enumerate(facts.evacuations):
        again = "" if place == 0 else phrase(", time {place}", place=place + 1)
        yield Pairs(
            phrase("Evacuation{again}", again=again), tuple(_evacuation(one, facts.job_day)), SHOP_RULE
        )


def _evacuation(one: EvacuationFacts, on: str) -> Iterator[tuple[str, str]]:
    yield (
        phrase("By"),
        phrase(
            "{by}, {span} ({duration})",
            by=said(one.by),
            span=span(one.started, one.stopped, on),
            duration=duration(one.minutes),
        ),
    )
    yield (
        phrase("Pump"),
        joined("", [said(one.pump), phrase("; gauge {gauge}", gauge=one.gauge) if one.gauge else ""]),
    )
    yield phrase("Deepest"), _deepest(one, one.vacuum)
    hold = phrase(
        "{hold_minutes}, from {hold_from} to {hold_to}{half_way}. ",
        hold_minutes=duration(one.hold_minutes),
        hold_from=said(one.hold_from),
        hold_to=said(one.hold_to),
        half_way=phrase(", half way {reading}", reading=one.hold_middle) if one.hold_middle else "",
    )
    yield phrase("Hold"), joined("", [hold if one.hold_minutes else "", sentence(words(one.result))])
    if one.vacuum is not None and one.vacuum.rise:
        yield phrase("Rise"), _rise(one.vacuum)


def _deepest(one: EvacuationFacts, seen: VacuumFacts | None) -> str:
    """With what the gauge could tell, in one line of paper."""
    reading = said(one.deepest)
    if seen is None:
        return reading
    if seen.gauge == "compound gauge":
        told = phrase("the pump pulled") if seen.pulls else phrase("not even that the pump pulled")
        return phrase(
            "{reading}, in air of {air}: {told}, nothing about dryness",
            reading=reading,
            air=seen.air,
            told=told,
        )
    if not seen.boils:
        return reading
    return phrase("{reading}: water boils at {boils}, no proof of dryness", reading=reading, boils=seen.boils)


def _rise(seen: VacuumFacts) -> str:
    judged = JUDGED.get(seen.judged, "")
    return phrase("{rise}: {judged}. {gross}", rise=seen.rise, judged=judged, gross=GROSS)


def leak_test(facts: CertificateFacts) -> Iterator[Block]:
    """Stands after the evacuation, when it was done or left out with a reason."""
    if facts.leak_test is not None:
        yield Pairs(
            phrase("Leak-test charge"), tuple(_leak_test_rows(facts.leak_test, facts.job_day)), SHOP_RULE
        )
    elif any(stage == "Leak-test charge" for stage, _ in facts.skipped):
        yield Note(absent(facts, "Leak-test charge"), phrase("Leak-test charge"))


def _leak_test_rows(one: LeakTestFacts, on: str) -> Iterator[tuple[str, str]]:
    yield phrase("By"), joined(", ", [said(one.by), at(one.at, on)])
    yield phrase("Put in for it"), both(one.mass_ug)
    yield (
        phrase("Pressure"),
        phrase(
            "{pressure_start}, {pressure_end} after {minutes}",
            pressure_start=said(one.pressure_start),
            pressure_end=said(one.pressure_end),
            minutes=duration(one.minutes),
        ),
    )
    yield phrase("Temperature"), _temperatures(one)
    yield phrase("Result"), sentence(words(one.result))
    yield from hold_rows(one)


def _temperatures(one: LeakTestFacts) -> str:
    if not one.temperature_end:
        return said(one.temperature)
    return phrase(
        "{temperature}, {temperature_end} at the end",
        temperature=said(one.temperature),
        temperature_end=said(one.temperature_end),
    )
