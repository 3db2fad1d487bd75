"""The sale of the shop: the cover with both signature lines, and an equipment statement ready for the buyer.

Who sells signs nothing of the buyer's: the statement carries no signature and no signer's name but the buyer's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.core.certificate_facts import Shop
from compliance.core.paper import NEVER_NUMBERED, Block, Note, Pairs, Paper, Signature, Table
from compliance.core.statement import (
    FEDERAL,
    STATEMENTS,
    THIRTY_DAYS,
    TITLE,
    MachineStated,
    PersonListed,
)
from compliance.core.wording import day, fingerprint, grams, made_line, said
from shop.core.phrase import joined, phrase, word

LINE = "______________________________"
NOT_SIGNED = phrase("NOT SIGNED - for the buyer")


@dataclass(frozen=True, slots=True)
class CountedOver:
    """One container at the closing count; ``book_ug`` is what the book says now."""

    code: str
    kind: str
    refrigerant: str
    how: str
    found_ug: int
    book_ug: int


@dataclass(frozen=True, slots=True)
class HandOverFacts:
    """``on`` is the day of the closing count and of the sale, ``due`` thirty days later."""

    shop: Shop
    seller: str
    buyer: str
    on: str
    due: str
    made_at: str
    made_by: str
    counted_by: str
    containers: tuple[CountedOver, ...]
    not_counted: tuple[str, ...]
    open_jobs: tuple[tuple[str, str], ...]  # number, day
    staff: tuple[PersonListed, ...]
    machines: tuple[MachineStated, ...]
    with_customers: bool
    practice: bool = False


def cover(facts: HandOverFacts) -> Paper:
    """What passes on that day, and a line for each of the two to sign on."""
    return _paper(facts, phrase("HAND-OVER OF THE SHOP"), tuple(_cover(facts)))


def buyers_statement(facts: HandOverFacts) -> Paper:
    """An equipment statement of the new owner with everything filled in but the signature."""
    return _paper(facts, TITLE, tuple(_statement(facts)), NOT_SIGNED)


def _paper(facts: HandOverFacts, title: str, blocks: tuple[Block, ...], state: str = "") -> Paper:
    return Paper(
        title=title,
        number="",
        version=0,
        dated=day(facts.on),
        shop=(facts.shop.name, said(facts.shop.address), said(facts.shop.phone)),
        blocks=blocks,
        made=made_line(facts.made_at, weights=False),
        made_at=facts.made_at,
        check_url="",
        fingerprint=fingerprint(facts),
        practice=facts.practice,
        state=state,
        frame=NEVER_NUMBERED,
    )


def _cover(facts: HandOverFacts) -> Iterator[Block]:
    yield Pairs(
        phrase("The sale"),
        (
            (phrase("Seller"), facts.seller),
            (phrase("Buyer"), facts.buyer),
            (phrase("Day of the closing count"), day(facts.on)),
            (phrase("Counted by"), facts.counted_by),
            (phrase("Customers' details"), _customers(facts)),
        ),
    )
    yield Table(
        phrase("Containers at the closing count"),
        (
            phrase("Container"),
            phrase("Refrigerant"),
            phrase("How"),
            phrase("Found"),
            phrase("By the book now"),
        ),
        tuple(
            (one.code, one.refrigerant, word(one.how), grams(one.found_ug, 1), grams(one.book_ug, 1))
            for one in facts.containers
        ),
        numeric=(3, 4),
        notes=_parting(facts),
    )
    yield Table(
        phrase("By refrigerant"),
        (phrase("Refrigerant"), phrase("Containers"), phrase("Found")),
        tuple(_sums(facts)),
        numeric=(1, 2),
    )
    yield Table(
        phrase("Open jobs"),
        (phrase("Job"), phrase("Since")),
        tuple((number, day(on)) for number, on in facts.open_jobs),
        empty=phrase("No job is open."),
    )
    yield _people(facts, phrase("609 cards of who stays"), phrase("Nobody with a 609 card stays."))
    yield Note(_new_statement(facts), phrase("The buyer's equipment statement"))
    taken = phrase("I hand over what stands above, as it was counted.")
    yield Signature(taken, phrase("Seller, {name}: {line} Day: ____________", name=facts.seller, line=LINE))
    given = phrase("I take over what stands above, as it was counted.")
    yield Signature(given, phrase("Buyer, {name}: {line} Day: ____________", name=facts.buyer, line=LINE))


def _customers(facts: HandOverFacts) -> str:
    if facts.with_customers:
        return phrase("go along; seller and buyer agreed on that")
    return phrase("stay with the seller")


def _parting(facts: HandOverFacts) -> tuple[str, ...]:
    found = []
    moved = [one.code for one in facts.containers if one.found_ug != one.book_ug]
    if moved:
        sentence = phrase("Moved in the book since the count: {codes}.", codes=", ".join(moved))
        found.append(sentence)
    if any(one.how == "sealed" for one in facts.containers):
        found.append(
            phrase("Sealed cans were counted and stand at their label weight; they were not weighed.")
        )
    if facts.not_counted:
        sentence = phrase("In the cabinet and not counted: {codes}.", codes=", ".join(facts.not_counted))
        found.append(sentence)
    return tuple(found)


def _sums(facts: HandOverFacts) -> Iterator[tuple[str, ...]]:
    for gas in sorted({one.refrigerant for one in facts.containers}):
        mine = [one for one in facts.containers if one.refrigerant == gas]
        yield gas, f"{len(mine)}", grams(sum(one.found_ug for one in mine), 1)


def _new_statement(facts: HandOverFacts) -> str:
    told = phrase(
        "The seller's statement does not pass to the buyer. {buyer} signs a new one, which lies beside this paper, by"
        " {due}.",
        buyer=facts.buyer,
        due=day(facts.due),
    )
    return joined(" ", [told, THIRTY_DAYS])


def _to_sign(facts: HandOverFacts) -> str:
    return phrase("To be signed by the buyer, {buyer}, by {due}.", buyer=facts.buyer, due=day(facts.due))


def _people(facts: HandOverFacts, title: str, empty: str) -> Table:
    return Table(
        title,
        (phrase("Name"), phrase("609 card"), phrase("Issued")),
        tuple((one.name, one.card, day(one.issued_on)) for one in facts.staff if one.card),
        empty=empty,
    )


def _statement(facts: HandOverFacts) -> Iterator[Block]:
    yield Pairs(phrase("Purchaser"), ((phrase("Name"), facts.buyer),), FEDERAL)
    yield Pairs(phrase("Establishment"), ((phrase("Address"), facts.shop.address),), FEDERAL)
    yield Table(
        phrase("Equipment"),
        (phrase("Manufacturer"), phrase("Model"), phrase("Made"), phrase("Serial number")),
        tuple(
            tuple(value or LINE[:12] for value in (one.maker, one.model, one.made, one.serial))
            for one in facts.machines
        ),
        asked_by=FEDERAL,
    )
    yield Note(joined("\n", [sentence for _key, sentence in STATEMENTS]), phrase("Statements"))
    yield Signature(
        phrase("Signature of the owner of the equipment or another responsible officer"),
        phrase("{line} Title: ______________ Day: ____________", line=LINE),
    )
    yield Note(
        joined(" ", [_to_sign(facts), THIRTY_DAYS]),
        phrase("Below this line: the shop's own, no part of the statement"),
    )
    yield _people(facts, phrase("609 cards of who stays"), phrase("Nobody with a 609 card stays."))
