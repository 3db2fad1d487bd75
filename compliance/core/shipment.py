"""The shipment record: what left, where to, by our weight and by theirs. Its facts as stored for ever, and its paper.

Masses are whole micrograms, readings the text as typed, days ISO dates. A federal rule asks for the facility's name and
address only (40 CFR 82.42(b)(1)); everything else on the paper is the shop's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.core.certificate_facts import Shop
from compliance.core.paper import Block, Note, Pairs, Paper, Signature, Table, Ticket
from compliance.core.wording import (
    both,
    day,
    fingerprint,
    grams,
    made_line,
    moment,
    ounces,
    said,
    sentence,
    signed,
)

TITLE = "SHIPMENT RECORD"
STATEMENT = "The cylinders listed here left this shop on the day above, with these weights."
FEDERAL, SHOP_RULE = "Federal, 40 CFR 82.42(b)(1)", "Shop rule"
NOT_CLASSED = (
    "This record is not a shipping paper. Name, number and class of the goods are copied from the paper that the"
    " shipper prepared; only people trained for hazardous materials prepare and sign that one."
)


@dataclass(frozen=True, slots=True)
class CylinderShipped:
    code: str
    serial: str
    refrigerant: str
    mixed: bool
    requalified_on: str
    gross: str
    tare: str
    net_ug: int
    limit_ug: int
    scale: str
    recoveries: int
    comes_back: bool
    note: str = ""
    theirs: str = ""  # as on their ticket, "" before the receipt
    theirs_ug: int | None = None


@dataclass(frozen=True, slots=True)
class ReceiptFacts:
    number: str
    day: str
    note: str
    by: str


@dataclass(frozen=True, slots=True)
class ShipmentFacts:
    number: str
    version: int
    day: str
    made_at: str
    shop: Shop
    facility: str
    facility_address: str
    facility_phone: str
    reclaimer_checked_on: str
    purpose: str
    carrier: str
    driver: str
    shipping_paper: str
    shipper: str
    cylinders: tuple[CylinderShipped, ...]
    receipt: ReceiptFacts | None
    signed: str
    check_url: str
    replaces: str = ""
    practice: bool = False
    layout: int = 1

    @property
    def net_ug(self) -> int:
        return sum(one.net_ug for one in self.cylinders)


def shipment_paper(facts: ShipmentFacts) -> Paper:
    """The paper of one shipment."""
    shop = facts.shop
    return Paper(
        title=TITLE,
        number=facts.number,
        version=facts.version,
        dated=day(facts.day),
        shop=(shop.name, said(shop.address), said(shop.phone)),
        blocks=tuple(_blocks(facts)),
        made=made_line(facts.made_at),
        made_at=facts.made_at,
        check_url=facts.check_url,
        fingerprint=fingerprint(facts),
        foot=(NOT_CLASSED, "A receipt makes a new version."),
        replaces=facts.replaces,
        practice=facts.practice,
    )


def _blocks(facts: ShipmentFacts) -> Iterator[Block]:
    yield Ticket(_figures(facts), _ticket_line(facts))
    yield Pairs(
        "Sent to",
        (
            ("Name", said(facts.facility)),
            ("Address", said(facts.facility_address)),
            ("Phone", said(facts.facility_phone)),
        ),
        FEDERAL,
    )
    yield Pairs("How it went", tuple(_how(facts)), SHOP_RULE)
    yield _cylinders(facts)
    yield from _receipt(facts)
    yield Signature(STATEMENT, f"{said(facts.signed)}, {moment(facts.made_at)}")


def _figures(facts: ShipmentFacts) -> tuple[tuple[str, str, str], ...]:
    sums: dict[str, int] = {}
    for one in facts.cylinders:
        name = "Mixed or unknown" if one.mixed else one.refrigerant
        sums[name] = sums.get(name, 0) + one.net_ug
    return tuple((f"{name} sent", grams(ug), ounces(ug)) for name, ug in list(sums.items())[:3])


def _ticket_line(facts: ShipmentFacts) -> str:
    theirs = [one.theirs_ug for one in facts.cylinders if one.theirs_ug is not None]
    if facts.receipt is None or len(theirs) != len(facts.cylinders):
        return "Net = gross − stamped tare, cylinder by cylinder. No receipt yet."
    off = sum(theirs) - facts.net_ug
    percent = f"{100 * off / facts.net_ug:+.1f}".replace("-", "−")
    apart = f"{signed(off)}\u00a0g ({percent}\u00a0%) against ours"
    return f"The facility's own weight: {grams(sum(theirs))}, {apart}. Ours stays in the book."


def _how(facts: ShipmentFacts) -> Iterator[tuple[str, str]]:
    checked = facts.reclaimer_checked_on
    yield "Why", sentence(facts.purpose)
    yield "Reclaimer", f"looked up on {day(checked)}" if checked else "not looked up"
    yield "Carried by", ", ".join(part for part in (facts.carrier, facts.driver) if part)
    yield "Paper says", said(facts.shipping_paper)
    yield "Paper by", said(facts.shipper)
    yield "Before it left", "valves capped, upright, checked for leaks"


def _cylinders(facts: ShipmentFacts) -> Table:
    rows = tuple(
        (
            one.code,
            "mixed or unknown" if one.mixed else one.refrigerant,
            one.gross,
            one.tare,
            both(one.net_ug),
            one.theirs or "–",
            f"{100 * one.net_ug / one.limit_ug:.0f} %" if one.limit_ug else "–",
        )
        for one in facts.cylinders
    )
    notes = tuple(
        f"{one.code}: serial {said(one.serial)}; requalified {day(one.requalified_on)}; on scale {one.scale}; holds"
        f" refrigerant of {one.recoveries} recoveries; {'ours, comes back empty' if one.comes_back else 'stays there'}."
        + (f" {sentence(one.note)}" if one.note else "")
        for one in facts.cylinders
    )
    columns = (
        "Cylinder",
        "Refrigerant, recovered",
        "Gross",
        "Tare, stamped",
        "Net",
        "Their net",
        "Of its limit",
    )
    return Table("Cylinders", columns, rows, numeric=(2, 3, 4, 5, 6), notes=notes, asked_by=SHOP_RULE)


def _receipt(facts: ShipmentFacts) -> Iterator[Block]:
    one = facts.receipt
    if one is None:
        yield Note("No receipt is in yet.", "Receipt of the facility")
        return
    rows = (
        ("Their ticket", said(one.number)),
        ("Day", day(one.day)),
        ("Note", said(one.note)),
        ("Kept by", said(one.by)),
    )
    yield Pairs("Receipt of the facility", rows, SHOP_RULE)
