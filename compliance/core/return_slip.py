"""The return slip: what a driver signs for when cans go back, from facts to the blocks of its paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.core.certificate_facts import Shop
from compliance.core.paper import Block, Note, Pairs, Paper, Signature, Table
from compliance.core.wording import counted, day, fingerprint, grams, made_line, said
from shop.core.cautions import DAMAGED_CAN, DEFER

TITLE = "RETURN SLIP"
TAKEN = "I took the cans listed above."


@dataclass(frozen=True, slots=True)
class ReturnedCanFacts:
    """``lost_ug`` is what was gone before it was ours; None where the can was not weighed."""

    code: str
    what: str
    lot: str
    wrong: str
    lost_ug: int | None


@dataclass(frozen=True, slots=True)
class ReturnSlipFacts:
    number: str
    on: str
    shop: Shop
    supplier: str
    supplier_address: str
    slip: str
    invoices: tuple[str, ...]
    to: str
    handed_to: str
    reason: str
    cans: tuple[ReturnedCanFacts, ...]
    made_at: str
    made_by: str
    practice: bool = False


def return_slip(facts: ReturnSlipFacts) -> Paper:
    """One page for the supplier, with a line to sign on. No price is on it."""
    return Paper(
        title=TITLE,
        number=facts.number,
        version=0,  # it is drawn from rows that never change
        dated=day(facts.on),
        shop=(facts.shop.name, said(facts.shop.address), said(facts.shop.phone)),
        blocks=tuple(_blocks(facts)),
        made=made_line(facts.made_at),
        made_at=facts.made_at,
        check_url="",
        fingerprint=fingerprint(facts),
        practice=facts.practice,
    )


def _blocks(facts: ReturnSlipFacts) -> Iterator[Block]:
    yield Pairs(
        "Return",
        (
            ("Supplier", "\n".join(part for part in (facts.supplier, facts.supplier_address) if part)),
            ("Packing slip", facts.slip),
            ("Invoice", ", ".join(facts.invoices) or said("")),
            ("Where they go", facts.to),
            ("Handed to", facts.handed_to),
            ("Why", facts.reason),
        ),
    )
    yield Table(
        counted(len(facts.cans), "can"),
        ("Can", "What", "Lot", "What is wrong", "Short on arrival"),
        tuple((can.code, can.what, said(can.lot), can.wrong or "–", _lost(can)) for can in facts.cans),
        numeric=(4,),
    )
    yield Note("\n".join((DAMAGED_CAN.text, DEFER)), "Handling")
    yield Signature("Written by the shop.", f"{facts.made_by}, {day(facts.on)}")
    yield Signature(TAKEN, "Name, day: ______________________________")


def _lost(can: ReturnedCanFacts) -> str:
    return "not weighed" if can.lost_ug is None else grams(can.lost_ug)
