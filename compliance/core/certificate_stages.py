"""The stages on a service certificate: taking out, looking for leaks, evacuating, final readings.

A stage that has nothing to show says why it was left out, in the words it was left with, or that nothing was recorded.
"""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.certificate_facts import (
    CertificateFacts,
    EvacuationFacts,
    FinalFacts,
    LeakCheckFacts,
    LeakTestFacts,
    RecoveryFacts,
)
from compliance.core.certificate_words import leak_result
from compliance.core.paper import Block, Note, Pairs
from compliance.core.wording import NOT_RECORDED, at, both, duration, said, sentence, span

SHOP_RULE, FEDERAL, OPTIONAL = "Shop rule", "Federal", "Optional"
NO_TEST = "No test finds every leak."


def absent(facts: CertificateFacts, stage: str, otherwise: str = NOT_RECORDED) -> str:
    """Why a stage has nothing to show, in the words it was left with."""
    reasons = [reason for name, reason in facts.skipped if name == stage]
    return sentence("; ".join(reasons) or otherwise)


def recoveries(facts: CertificateFacts) -> Iterator[Block]:
    """Part 6."""
    if not facts.recoveries:
        yield Note(absent(facts, "Recovery"), "Taken out (recovery)")
    for place, one in enumerate(facts.recoveries):
        again = "" if place == 0 else f", time {place + 1}"
        yield Pairs(f"Taken out (recovery{again})", tuple(_recovery(one, facts.job_day)), SHOP_RULE)


def _recovery(one: RecoveryFacts, on: str) -> Iterator[tuple[str, str]]:
    yield "By", f"{said(one.by)}, {span(one.started, one.ended, on)}"
    yield "Cylinder", f"{said(one.cylinder)}, {said(one.before)} before, {said(one.after)} after"
    yield "Machine", said(one.machine)
    yield "Taken out", both(one.out_ug)
    if one.note:
        yield "Note", sentence(one.note)


def leak_checks(facts: CertificateFacts) -> Iterator[Block]:
    """Part 7."""
    if not facts.leak_checks:
        yield Note(f"{absent(facts, 'Leak check')} {NO_TEST}", "Leak check")
    for place, one in enumerate(facts.leak_checks):
        last = place + 1 == len(facts.leak_checks)
        again = "" if place == 0 else f", time {place + 1}"
        yield Pairs(f"Leak check{again}", tuple(_leak_check(one, facts.job_day, last=last)), SHOP_RULE)


def _leak_check(one: LeakCheckFacts, on: str, *, last: bool) -> Iterator[tuple[str, str]]:
    yield "By", f"{said(one.by)}, {at(one.at, on)}"
    yield "How", said(one.methods) + (f"; instrument {one.instrument}" if one.instrument else "")
    yield "Where", said(one.places)
    found = [sentence(leak_result(one.result)), sentence(one.detail), NO_TEST if last else ""]
    yield "Result", " ".join(part for part in found if part)


def evacuations(facts: CertificateFacts) -> Iterator[Block]:
    """Part 9."""
    if not facts.evacuations:
        yield Note(absent(facts, "Evacuation"), "Evacuation")
    for place, one in enumerate(facts.evacuations):
        again = "" if place == 0 else f", time {place + 1}"
        yield Pairs(f"Evacuation{again}", tuple(_evacuation(one, facts.job_day)), SHOP_RULE)


def _evacuation(one: EvacuationFacts, on: str) -> Iterator[tuple[str, str]]:
    yield "By", f"{said(one.by)}, {span(one.started, one.stopped, on)} ({duration(one.minutes)})"
    yield "Pump", said(one.pump) + (f"; gauge {one.gauge}" if one.gauge else "")
    yield "Deepest", said(one.deepest)
    hold = f"{duration(one.hold_minutes)}, from {said(one.hold_from)} to {said(one.hold_to)}. "
    yield "Hold", (hold if one.hold_minutes else "") + sentence(said(one.result))


def leak_test(facts: CertificateFacts) -> Iterator[Block]:
    """Stands after the evacuation, when it was done or left out with a reason."""
    if facts.leak_test is not None:
        yield Pairs("Leak-test charge", tuple(_leak_test_rows(facts.leak_test, facts.job_day)), SHOP_RULE)
    elif any(stage == "Leak-test charge" for stage, _ in facts.skipped):
        yield Note(absent(facts, "Leak-test charge"), "Leak-test charge")


def _leak_test_rows(one: LeakTestFacts, on: str) -> Iterator[tuple[str, str]]:
    yield "By", f"{said(one.by)}, {at(one.at, on)}"
    yield "Put in for it", both(one.mass_ug)
    yield "Pressure", f"{said(one.pressure_start)}, {said(one.pressure_end)} after {duration(one.minutes)}"
    yield "Temperature", said(one.temperature)
    yield "Result", sentence(said(one.result))


def final(facts: CertificateFacts) -> Block:
    """Part 11."""
    if facts.final is None:
        return Note(absent(facts, "Final readings"), "Final readings")
    return Pairs("Final readings", tuple(_final_rows(facts.final, facts.job_day)), OPTIONAL)


def _final_rows(one: FinalFacts, on: str) -> Iterator[tuple[str, str]]:
    yield "By", f"{said(one.by)}, {at(one.at, on)}"
    yield "Port caps", "fitted" if one.caps_on else "not fitted"
    yield "Running", f"engine {said(one.engine)}, blower {said(one.blower)}, mode {said(one.mode)}"
    yield "Outdoors", f"{said(one.outdoor)}, humidity {said(one.humidity)}"
    yield "Vent", said(one.vent)
    yield "Low side", said(one.low_side)
    yield "High side", said(one.high_side)
    if one.note:
        yield "Note", sentence(one.note)
    yield "", "Logged, not judged: the weighed charge is the evidence, pressures are not."
