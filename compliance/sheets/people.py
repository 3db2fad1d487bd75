"""The work-day check, copies of cards and equipment statements as sheets."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from compliance.queries.card_copies import holdings
from compliance.queries.people import refrigerant_stages, signed
from compliance.queries.statements import overview
from shop.core.sheet import Sheet, Value, columns
from shop.models import Establishment

FAR = date.max  # machines that were ever in service are listed


def work_days_sheet(establishment: Establishment) -> Sheet:
    """Every refrigerant stage ever signed, with the card that answers for its day."""
    return Sheet(
        "work-days",
        "Every refrigerant stage that was signed, oldest first: who did it, and the 609 card in force that day.",
        columns(
            ("day", "of the stage, on the shop's clock"),
            ("job", "its number"),
            ("stage", "what was done"),
            ("doer", "who did it"),
            ("in_force", "yes or no"),
            ("card_number", "of the doer"),
            ("card_issued_on", "its day; a 609 card carries no last day"),
            ("why", "the answer in words"),
        ),
        _work_days(establishment),
    )


def _work_days(establishment: Establishment) -> Iterator[tuple[Value, ...]]:
    for one in signed(establishment, refrigerant_stages(establishment).order_by("pk")):
        who = one.uncertified or one.standing.name
        card = None if one.uncertified else one.card
        why = "done by somebody without a 609 card" if one.uncertified else str(one.standing.sentence)
        number, issued = (card.number, card.issued_on) if card is not None else (None, None)
        yield (one.day, one.stage.job.number, one.stage.kind, who, one.covered, number, issued, why)


def card_copies_sheet(establishment: Establishment) -> Sheet:
    """Suppliers against the cards they hold."""
    return Sheet(
        "card-copies",
        "Which supplier was given which 609 card, and when they were told that its bearer left.",
        columns(
            ("supplier", "who holds it"),
            ("person", "whose card it is"),
            ("card_number", "its number"),
            ("sheet", "number of the sheet"),
            ("given_on", "day"),
            ("told_on", "day of the notice that the person left; empty when none was sent"),
            ("told_how", "as typed"),
        ),
        (
            (
                one.supplier.name,
                one.person.name,
                one.number,
                copy.number,
                copy.on,
                one.notice.on if one.notice else None,
                one.notice.how if one.notice else None,
            )
            for one in holdings(establishment)
            for copy in one.copies
        ),
    )


def statements_sheet(establishment: Establishment) -> Sheet:
    """Recovery machines against equipment statements."""
    return Sheet(
        "statements",
        "Recovery machines, retired ones too: the statement that lists each, how it was sent, what the owner states.",
        columns(
            ("machine", "its code"),
            ("serial", "as on the plate"),
            ("statement", "that stands and lists it"),
            ("signed_on", "day"),
            ("signed_by", "who"),
            ("sent_on", "day; empty when it was not sent"),
            ("how", "it was sent"),
            ("region", "it was sent to"),
            ("address", "as it was confirmed"),
            ("proof", "yes or no"),
            ("stated_earlier", "what the owner states of an earlier one without a copy"),
        ),
        _statements(establishment),
    )


def _statements(establishment: Establishment) -> Iterator[tuple[Value, ...]]:
    for line in overview(establishment, FAR).machines:
        signed_one = line.signed
        sent = signed_one.sent if signed_one else None
        earlier = "; ".join(f"{one.when} {one.where}".strip() for one in line.earlier)
        yield (
            line.machine.code,
            line.machine.serial,
            str(signed_one.document) if signed_one else None,
            signed_one.document.dated if signed_one else None,
            signed_one.facts.signer if signed_one else None,
            *((sent.on, sent.how, sent.region, sent.address) if sent else (None,) * 4),
            signed_one.proven if signed_one else None,
            earlier,
        )
