"""The equipment statement: what 40 CFR 82.42(a)(1) asks for in its order, the signature, and below a line our notes.

Nothing stands above the signature that the rule does not ask for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from compliance.core.certificate_facts import Shop
from compliance.core.paper import Block, Note, Pairs, Paper, Signature, Table
from compliance.core.wording import day, fingerprint, made_line, said
from shop.core.findings import Finding, blocked
from shop.core.phrase import joined, phrase

TITLE = phrase("EQUIPMENT STATEMENT")
BASIS = "40 CFR 82.42(a)(1)"
FEDERAL = f"Federal, {BASIS}"
PROPERLY_USED = phrase("The equipment will be properly used in servicing motor vehicle air conditioners.")
ALL_CERTIFIED = phrase(
    "Each individual authorized by the purchaser to perform service is properly trained and certified in accordance"
    " with 40 CFR 82.40."
)
TRUE = phrase("The information given is true and correct.")
STATEMENTS = (
    ("properly_used", PROPERLY_USED),
    ("all_certified", ALL_CERTIFIED),
    ("is_true", TRUE),
)
OWNER, OFFICER = "owner", "responsible officer"
ONE_TIME = phrase(
    "A Region’s page says that a shop certifies once; the statute speaks of the serial number of each unit acquired. A"
    " unit that came later is a warning, no error: the list of serial numbers is kept right here, and a new statement"
    " costs one letter."
)
THIRTY_DAYS = phrase("Thirty days after a change of owner is from memory: check it on the agency’s own site.")
CHECK_ADDRESS = phrase("Check the address on the agency’s own site before mailing.")


@dataclass(frozen=True, slots=True)
class MachineStated:
    """As on its plate: maker, model, date of manufacture, serial number. ``code`` is what the shop calls it."""

    code: str
    maker: str
    model: str
    made: str
    serial: str


@dataclass(frozen=True, slots=True)
class PersonListed:
    name: str
    card: str
    issued_on: str


@dataclass(frozen=True, slots=True)
class StatementFacts:
    """``signer_role`` is "owner" or "responsible officer"; ``people`` are those authorised on the day it was signed."""

    number: str
    version: int
    signed_on: str
    made_at: str
    shop: Shop
    purchaser: str
    location: str
    machines: tuple[MachineStated, ...]
    stated: tuple[str, ...]
    signer: str
    signer_role: str
    title: str
    people: tuple[PersonListed, ...]
    reason: str
    check_url: str
    replaces: str = ""
    practice: bool = False


PLATE = (
    ("maker", phrase("the manufacturer’s name")),
    ("model", phrase("the model number")),
    ("made", phrase("the date of manufacture")),
    ("serial", phrase("the serial number")),
)


def statement_problems(facts: StatementFacts) -> list[Finding]:
    """Everything that the rule asks for and that is blank or wrong, each with its field."""
    found = list(_blank(facts))
    found += [one for machine in facts.machines for one in _plate_problems(machine)]
    for key, sentence in STATEMENTS:
        if key not in facts.stated:
            message = phrase("The statement is not made: {sentence}", sentence=sentence)
            found.append(blocked(f"not-stated-{key}", message, key, BASIS))
    if facts.signer_role not in (OWNER, OFFICER):
        message = phrase(
            "{name} is neither the owner nor a responsible officer. The owner signs, or names an officer under Cards.",
            name=facts.signer or phrase("Whoever signs"),
        )
        found.append(blocked("signer-no-officer", message, "title", BASIS))
    for person in facts.people:
        if not person.card:
            message = phrase(
                "{name} is authorised here and has no 609 card in force. The statement would not be true.",
                name=person.name,
            )
            found.append(blocked("person-without-card", message, "all_certified", BASIS))
    return found


def _blank(facts: StatementFacts) -> Iterator[Finding]:
    asked = (
        ("purchaser", facts.purchaser, phrase("Type the name of the purchaser of the equipment.")),
        ("location", facts.location, phrase("Type the address where the equipment is.")),
        ("signer", facts.signer, phrase("Nobody signs. The owner or a responsible officer does.")),
        ("title", facts.title, phrase("Type the title of whoever signs.")),
        ("signed_on", facts.signed_on, phrase("The day of signing is missing.")),
    )
    for field, value, sentence in asked:
        if not value.strip():
            yield blocked(f"{field}-empty", sentence, field, BASIS)
    if not facts.machines:
        yield blocked("machines-empty", phrase("Choose at least one machine."), "machines", BASIS)


def _plate_problems(machine: MachineStated) -> Iterator[Finding]:
    for field, what in PLATE:
        if not str(getattr(machine, field)).strip():
            message = phrase("{code}: type {what} from its plate.", code=machine.code, what=what)
            yield blocked(f"{field}-empty", message, f"{field}_{machine.code}", BASIS)


def statement_paper(facts: StatementFacts) -> Paper:
    return Paper(
        title=TITLE,
        number=facts.number,
        version=facts.version,
        dated=day(facts.signed_on),
        shop=(facts.shop.name, said(facts.shop.address), said(facts.shop.phone)),
        blocks=tuple(_blocks(facts)),
        made=made_line(facts.made_at, weights=False),
        made_at=facts.made_at,
        check_url=facts.check_url,
        fingerprint=fingerprint(facts),
        replaces=facts.replaces,
        practice=facts.practice,
    )


def _blocks(facts: StatementFacts) -> Iterator[Block]:
    yield Pairs(phrase("Purchaser"), ((phrase("Name"), facts.purchaser),), FEDERAL)
    yield Pairs(phrase("Establishment"), ((phrase("Address"), facts.location),), FEDERAL)
    yield Table(
        phrase("Equipment"),
        (phrase("Manufacturer"), phrase("Model"), phrase("Made"), phrase("Serial number")),
        tuple((one.maker, one.model, one.made, one.serial) for one in facts.machines),
        asked_by=FEDERAL,
    )
    sentences = joined("\n", [sentence for key, sentence in STATEMENTS if key in facts.stated])
    yield Note(sentences, phrase("Statements"))
    role = phrase("Signature of the owner of the equipment or another responsible officer")
    yield Signature(role, f"{facts.signer}, {facts.title}, {day(facts.signed_on)}")
    yield Pairs(
        phrase("Below this line: the shop’s own, no part of the statement"),
        (
            (phrase("Signed as"), facts.signer_role),
            (phrase("Why now"), said(facts.reason)),
            (phrase("Machines"), ", ".join(one.code for one in facts.machines)),
        ),
    )
    yield Table(
        phrase("Authorized on that day"),
        (phrase("Name"), phrase("609 card"), phrase("Issued")),
        tuple((one.name, one.card, day(one.issued_on)) for one in facts.people),
        empty=phrase("Nobody was authorized for air conditioning work on that day."),
    )


def people_changes(listed: Sequence[str], now: Sequence[str]) -> tuple[list[str], list[str]]:
    """(who works here now and is not on it, who is on it and works here no longer)."""
    return [name for name in now if name not in listed], [name for name in listed if name not in now]
