"""The final readings on a service certificate: as typed, and what was worked out of them. No verdict on the charge."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.certificate_facts import (
    CertificateFacts,
    FinalFacts,
    FinalWorkedFacts,
    TableLineFacts,
)
from compliance.core.certificate_stages import OPTIONAL, absent
from compliance.core.makers_table import Place
from compliance.core.paper import Block, Note, Pairs
from compliance.core.wording import at, said, sentence
from shop.core.phrase import joined, phrase, word

BRIEFLY: dict[str, str] = {
    Place.INSIDE.value: phrase("inside"),
    Place.OUTSIDE.value: phrase("outside"),
    Place.EDGE.value: phrase("at the edge of"),
}


def final(facts: CertificateFacts) -> Block:
    """Part 11."""
    if facts.final is None:
        return Note(absent(facts, "Final readings"), phrase("Final readings"))
    return Pairs(phrase("Final readings"), tuple(_final_rows(facts.final, facts.job_day)), OPTIONAL)


def _final_rows(one: FinalFacts, on: str) -> Iterator[tuple[str, str]]:
    yield phrase("By"), joined(", ", [said(one.by), at(one.at, on)])
    yield phrase("Port caps"), phrase("fitted") if one.caps_on else phrase("not fitted")
    yield (
        phrase("Running"),
        joined(", ", [_running(one), *([one.minutes] if one.minutes else [])]),
    )
    yield (
        phrase("Outdoors"),
        phrase("{outdoor}, humidity {humidity}", outdoor=said(one.outdoor), humidity=said(one.humidity)),
    )
    if one.inlet:
        yield phrase("Air going in"), said(one.inlet)
    yield phrase("Vent"), said(one.vent)
    yield phrase("Low side"), said(one.low_side)
    yield phrase("High side"), said(one.high_side)
    if one.worked is not None:
        yield from _worked_rows(one.worked)
    if one.note:
        yield phrase("Note"), sentence(one.note)
    yield "", phrase("The weighed mass is the evidence of charge; pressures are not.")


def _running(one: FinalFacts) -> str:
    return phrase(
        "engine {engine}, blower {blower}, mode {mode}",
        engine=said(one.engine),
        blower=word(said(one.blower)),
        mode=word(said(one.mode)),
    )


def _worked_rows(one: FinalWorkedFacts) -> Iterator[tuple[str, str]]:
    told = [
        phrase("condensing at {kelvin}", kelvin=one.condensing) if one.condensing else "",
        phrase("{approach} above outdoors", approach=one.approach) if one.approach else "",
        phrase("evaporating at {kelvin}", kelvin=one.evaporating) if one.evaporating else "",
    ]
    if any(told):
        worked = joined(", ", [part for part in told if part])
        yield (
            phrase("Worked out"),
            joined("", [sentence(worked), " ", phrase("By {equations}.", equations=one.equations)]),
        )
    if one.table:
        lines = [_table_line(line) for line in one.table]
        sources = joined("; ", list(dict.fromkeys(line.source for line in one.table)))
        yield (
            phrase("Maker's table"),
            joined(" ", [sentence(joined("; ", lines)), phrase("Typed from: {sources}.", sources=sources)]),
        )


def _table_line(one: TableLineFacts) -> str:
    if not one.low:
        return phrase(
            "{quantity}: no verdict, {because}", quantity=word(one.quantity), because=word(one.because)
        )
    return phrase(
        "{quantity} {value}, {place} {low} to {high}",
        quantity=word(one.quantity),
        value=one.value,
        place=BRIEFLY.get(one.place, word(one.place)),
        low=one.low,
        high=one.high,
    )
