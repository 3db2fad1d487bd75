"""What a supplier gets: a sheet of 609 cards with those who buy for the shop, and the letter when somebody has left.

Neither says a price, a job or anything of a customer.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.core.certificate_facts import Shop
from compliance.core.paper import NEVER_NUMBERED, Block, Note, Pairs, Paper, Picture, Signature, Table
from compliance.core.wording import counted, day, fingerprint, made_line, said
from shop.core.phrase import phrase

TITLE, LETTER = phrase("609 CARDS OF THIS SHOP"), phrase("NOTICE: 609 CARD NO LONGER IN USE HERE")
NO_EXPIRY = phrase("A 609 card carries no last day; it is in force from the day it was issued.")
AS_OF = phrase("This sheet is right on its own day. We write when somebody on it leaves.")


@dataclass(frozen=True, slots=True)
class CopiedCard:
    """``copy`` is "photo", "PDF" or "" when none is on file; the photo itself stands beside the facts."""

    name: str
    program: str
    number: str
    issued_on: str
    name_on_card: str
    translator_assisted: bool
    copy: str
    copy_sha256: str = ""


@dataclass(frozen=True, slots=True)
class CardCopyFacts:
    number: str
    on: str
    shop: Shop
    supplier: str
    supplier_address: str
    cards: tuple[CopiedCard, ...]
    buyers: tuple[str, ...]
    made_at: str
    made_by: str
    practice: bool = False


@dataclass(frozen=True, slots=True)
class CardPhoto:
    """The photo of one card, by its number, and where a page finds it."""

    jpeg: bytes
    width: int
    height: int
    href: str


def card_copy_paper(facts: CardCopyFacts, photos: dict[str, CardPhoto]) -> Paper:
    """The sheet. ``photos`` holds those that are photos; a PDF goes along by itself."""
    return Paper(
        title=TITLE,
        number=facts.number,
        version=0,  # it is drawn from rows that never change
        dated=day(facts.on),
        shop=(facts.shop.name, said(facts.shop.address), said(facts.shop.phone)),
        blocks=tuple(_blocks(facts, photos)),
        made=made_line(facts.made_at, weights=False),
        made_at=facts.made_at,
        check_url="",
        fingerprint=fingerprint(facts),
        foot=(AS_OF,),
        practice=facts.practice,
    )


def _blocks(facts: CardCopyFacts, photos: dict[str, CardPhoto]) -> Iterator[Block]:
    to = "\n".join(part for part in (facts.supplier, facts.supplier_address) if part)
    yield Pairs(phrase("For"), ((phrase("Supplier"), to), (phrase("Given on"), day(facts.on))))
    for card in facts.cards:
        yield Pairs(card.name, tuple(_card(card)))
        if card.number in photos:
            photo = photos[card.number]
            caption = phrase("Card {number} of {name}", number=card.number, name=card.name)
            yield Picture(caption, photo.jpeg, photo.width, photo.height, photo.href)
    yield Table(
        phrase("May buy refrigerant and sign for deliveries"),
        (phrase("Name"),),
        tuple((name,) for name in facts.buyers),
        notes=(phrase("Named by the owner, as the list stood on {day}.", day=day(facts.on)),),
        empty=phrase("Nobody is on the list."),
    )
    yield Note(NO_EXPIRY)
    yield Signature(phrase("Given by the shop."), f"{facts.made_by}, {day(facts.on)}")


def _card(card: CopiedCard) -> Iterator[tuple[str, str]]:
    yield phrase("Program"), card.program
    yield phrase("Card number"), card.number
    yield phrase("Issued on"), day(card.issued_on)
    if card.name_on_card != card.name:
        yield phrase("Name on the card"), card.name_on_card
    if card.translator_assisted:
        yield phrase("Also printed"), phrase("translator assisted")
    yield phrase("Copy"), COPIES.get(card.copy, COPIES[""])


COPIES = {
    "photo": phrase("below"),
    "PDF": phrase("a PDF, handed over beside this sheet"),
    "": phrase("none on file with us"),
}


@dataclass(frozen=True, slots=True)
class NoticeFacts:
    """Somebody whose card a supplier holds works here no longer. ``given`` are the sheets it was on."""

    shop: Shop
    supplier: str
    supplier_address: str
    name: str
    cards: tuple[str, ...]
    given: tuple[tuple[str, str], ...]
    last_day: str
    on: str
    made_at: str
    made_by: str
    practice: bool = False


def notice_paper(facts: NoticeFacts) -> Paper:
    """One page to a supplier."""
    to = "\n".join(part for part in (facts.supplier, facts.supplier_address) if part)
    sheets = ", ".join(f"{number} ({day(on)})" for number, on in facts.given)
    text = phrase(
        "{name} does not work for us after {last_day}. Please take card {cards} off the proof that you hold for us,"
        " and sell no refrigerant to {name} on our account. Our other cards stay as they are.",
        name=facts.name,
        last_day=day(facts.last_day),
        cards=", ".join(facts.cards),
    )
    return Paper(
        title=LETTER,
        number="",
        version=0,
        dated=day(facts.on),
        shop=(facts.shop.name, said(facts.shop.address), said(facts.shop.phone)),
        blocks=(
            Pairs(phrase("To"), ((phrase("Supplier"), to), (phrase("You hold"), sheets))),
            Note(text, counted(len(facts.cards), "card")),
            Signature(phrase("For the shop:"), f"{facts.made_by}, {day(facts.on)}"),
        ),
        made=made_line(facts.made_at, weights=False),
        made_at=facts.made_at,
        check_url="",
        fingerprint=fingerprint(facts),
        practice=facts.practice,
        frame=NEVER_NUMBERED,
    )
