"""The first part of the binder: what 40 CFR 82.42(a)(1) and (b)(1) to (b)(3) ask a shop to keep, and no more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.core.binder_facts import BinderFacts, PersonLine, StatementLine
from compliance.core.paper import Block, Note, Table
from compliance.core.wording import day, grams, listed, said
from shop.core.phrase import joined, phrase, word


@dataclass(frozen=True, slots=True)
class TabOf:
    """One tab: its key, its title, what the contents say of it in figures, and its blocks."""

    key: str
    title: str
    figure: str
    blocks: tuple[Block, ...]


def federal_tabs(facts: BinderFacts) -> Iterator[TabOf]:
    yield TabOf(
        "statements", phrase("Equipment statements"), _stated(facts), tuple(_statements(facts.statements))
    )
    yield TabOf("sent", phrase("Where refrigerant was sent"), _facilities(facts), (_sent(facts),))
    yield TabOf("certified", phrase("Technicians certified"), _certified(facts), (_people(facts),))
    yield TabOf(
        "small-cans",
        phrase("Sales of small containers"),
        phrase("none recorded"),
        (
            Note(
                phrase(
                    "No sale of refrigerant to anybody is recorded in this shop's book. Who sells class I or class II"
                    " refrigerant in containers of less than 20 lb keeps proof of the buyer, 40 CFR 82.42(b)(3)."
                ),
                phrase("Asked of sellers"),
            ),
        ),
    )


def _stated(facts: BinderFacts) -> str:
    sent = sum(1 for one in facts.statements if one.sent_on)
    return phrase("sent for {sent} of {machines} machines", sent=sent, machines=len(facts.statements))


def _statements(lines: tuple[StatementLine, ...]) -> Iterator[Block]:
    yield Table(
        phrase("Recovery machines"),
        (phrase("Machine"), phrase("Maker, model, made, serial"), phrase("Statement"), phrase("Sent")),
        tuple((one.code, one.plate, _signed(one), _sending(one)) for one in lines),
        empty=phrase("No recovery machine is on file."),
        asked_by=phrase("Federal, 40 CFR 82.42(a)(1)"),
        notes=(
            phrase(
                "A signed statement is a paper of its own; its number is its number in the shop's papers."
            ),
        ),
    )


def _signed(one: StatementLine) -> str:
    if not one.document:
        return joined("\n", [phrase("none on file"), *one.earlier])
    return joined("\n", [one.document, joined(", ", [day(one.signed_on), one.signer]), *one.earlier])


def _sending(one: StatementLine) -> str:
    if not one.sent_on:
        return phrase("not sent") if one.document else "–"
    proof = phrase("proof on file") if one.proven else phrase("no proof on file")
    return joined("\n", [joined(", ", [day(one.sent_on), word(one.how)]), one.address, proof])


def _facilities(facts: BinderFacts) -> str:
    if not facts.facilities:
        return phrase("nothing left the shop")
    return phrase(
        "facilities: {facilities}, shipments: {shipments}",
        facilities=len(facts.facilities),
        shipments=sum(len(one.shipments) for one in facts.facilities),
    )


def _sent(facts: BinderFacts) -> Block:
    if not facts.facilities:
        held = [
            phrase(
                "{code} ({refrigerant}, {mass})",
                code=one.code,
                refrigerant=one.refrigerant,
                mass=grams(one.held_ug),
            )
            for one in facts.held
        ]
        told = [phrase("No refrigerant left this shop for a facility in these days.")]
        if held:
            told.append(phrase("What cylinders hold now: {cylinders}.", cylinders=listed(held)))
        return Note(joined(" ", told), phrase("Name and address of each facility"))
    return Table(
        phrase("Name and address of each facility"),
        (phrase("Facility"), phrase("Address"), phrase("Shipments")),
        tuple((one.name, said(one.address), joined(", ", one.shipments)) for one in facts.facilities),
        asked_by=phrase("Federal, 40 CFR 82.42(b)(1)"),
    )


def _certified(facts: BinderFacts) -> str:
    carded = sum(1 for one in facts.people if one.cards)
    return phrase("{carded} of {people} people with a card", carded=carded, people=len(facts.people))


def _people(facts: BinderFacts) -> Table:
    return Table(
        phrase("Everybody who may service or did"),
        (phrase("Name"), phrase("May service"), phrase("Program"), phrase("Card"), phrase("Copy")),
        tuple(row for one in facts.people for row in _person(one)),
        empty=phrase("Nobody is on file as a technician."),
        asked_by=phrase("Federal, 40 CFR 82.42(b)(2)"),
        notes=(phrase("A 609 card carries no last day: 40 CFR 82.40 knows none."),),
    )


def _person(one: PersonLine) -> Iterator[tuple[str, ...]]:
    stretches = joined("\n", [_stretch(*days) for days in one.stretches]) or "–"
    if not one.cards:
        yield one.name, stretches, "–", phrase("none on file"), "–"
    for place, card in enumerate(one.cards):
        copy = phrase("on file") if card.copy_on_file else phrase("missing")
        number = joined("\n", [card.number, phrase("issued {day}", day=day(card.issued_on))])
        again = place > 0
        yield ("" if again else one.name, "" if again else stretches, card.program, number, copy)


def _stretch(first: str, last: str) -> str:
    if not last:
        return phrase("since {day}", day=day(first))
    return phrase("{first} to {last}", first=day(first), last=day(last))


def covered_said(stages: int, covered: int) -> str:
    """How many of somebody's stages a card in force covers, in words."""
    if not stages:
        return phrase("no stage in these days")
    if stages == covered:
        return phrase("all on or after issue date")
    return phrase("{count} not covered", count=stages - covered)
