"""Equipment statements: signed and kept as documents, sent with a day and a way, proven."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from compliance.core.statement import MachineStated, statement_paper, statement_problems
from compliance.models import (
    Document,
    EarlierStatement,
    RegionAddress,
    StatementProof,
    StatementSent,
    Withdrawal,
)
from compliance.queries.statements import last_change, role_of_signer, statement_facts
from compliance.services.documents import Issue, check_url, drawn, issue_document, replaces_line
from shop.core.days import said_day
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Equipment, Establishment, Person
from shop.services import FileIn, next_number

MOST_PROOFS = 6  # of one sending


@dataclass(frozen=True, slots=True)
class StatementIn:
    """What the signer states. ``stated`` holds the keys of the three statements that were made; ``replaces`` is the
    statement it takes the place of."""

    purchaser: str
    location: str
    machines: Sequence[MachineStated]
    stated: Sequence[str]
    title: str
    reason: str = ""
    replaces: Document | None = None


@dataclass(frozen=True, slots=True)
class SentIn:
    """When, how, and where to, as the address was read on the agency's own site on ``address_confirmed_on``."""

    on: date | None
    how: str
    region: int
    address: str
    address_confirmed_on: date | None
    tracking: str = ""


@dataclass(frozen=True, slots=True)
class EarlierIn:
    """What the owner remembers of a statement that left no copy."""

    when: str
    where: str = ""
    note: str = ""


@transaction.atomic
def sign_statement(
    statement: StatementIn, establishment: Establishment, *, on: date, at: datetime, by: Person
) -> Document:
    """Sign a statement: every field that the rule asks for, by the owner or a responsible officer. It is kept as a
    document in the chain; nothing is sent by this.

    Raises ``Refused`` with each blank field named.
    """
    old = statement.replaces
    version = old.version + 1 if old is not None else 1
    number = old.number if old is not None else _next(establishment, on, by)
    facts = statement_facts(
        establishment,
        number=number,
        version=version,
        purchaser=statement.purchaser,
        location=statement.location,
        machines=tuple(statement.machines),
        stated=tuple(statement.stated),
        title=statement.title,
        reason=statement.reason,
        check_url=check_url(number, version),
        replaces=replaces_line(old, statement.reason) if old else "",
        on=on,
        at=at,
        by=by,
    )
    refuse_if_blocked([*_owner_problems(by, on), *statement_problems(facts), *_replace_problems(statement)])
    why = statement.reason.strip()
    issue = Issue(Document.Kind.STATEMENT, number, version, on, why, old)
    return issue_document(drawn(issue, facts, statement_paper(facts)), establishment, at=at, by=by)


def _next(establishment: Establishment, on: date, by: Person) -> str:
    return f"ES-{on:%y}-{next_number(f'ES-{on:%y}', establishment, by=by):02d}"


def _owner_problems(by: Person, on: date) -> list[Finding]:
    """The owner before does not sign the statement of the owner after."""
    change = last_change(by.establishment, on)
    if change is None or not by.is_owner or role_of_signer(by, on)[0]:
        return []
    sentence = phrase(
        "{name} is the owner since {on} and signs.", name=change.owner.name, on=said_day(change.on)
    )
    return [blocked("owner-before", sentence, "title", "40 CFR 82.42(a)(1)")]


def _replace_problems(statement: StatementIn) -> list[Finding]:
    old = statement.replaces
    if old is None:
        return []
    found = []
    if len(statement.reason.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say why there is a new one."), "reason"))
    if Document.objects.filter(replaces=old).exists() or Withdrawal.objects.filter(document=old).exists():
        sentence = phrase("{old} does not stand any more. Choose the newest.", old=str(old))
        found.append(blocked("replaced-already", sentence, "replaces"))
    return found


@transaction.atomic
def send_statement(
    document: Document, sent: SentIn, *, today: date, at: datetime, by: Person
) -> StatementSent:
    """Write down that a signed statement was sent: never without a day and a way."""
    refuse_if_blocked(_sent_problems(document, sent, today))
    if sent.on is None or sent.address_confirmed_on is None:
        raise AssertionError("both days were asked for")
    return StatementSent.objects.create(
        document=document,
        on=sent.on,
        how=sent.how,
        tracking=sent.tracking.strip(),
        region=sent.region,
        address=" ".join(sent.address.split()),
        address_confirmed_on=sent.address_confirmed_on,
        at=at,
        by=by,
    )


def _sent_problems(document: Document, sent: SentIn, today: date) -> list[Finding]:
    found = []
    if sent.on is None:
        found.append(blocked("sent-when", phrase("Say on which day it was sent."), "on"))
    elif sent.on > today:
        found.append(blocked("sent-future", phrase("That day has not come yet."), "on"))
    elif sent.on < document.dated:
        found.append(blocked("sent-before-signed", phrase("It was signed only after that day."), "on"))
    if sent.how not in StatementSent.How.values:
        found.append(blocked("sent-how", phrase("Say how it was sent."), "how"))
    if len(" ".join(sent.address.split())) < 8:
        found.append(blocked("sent-where", phrase("Type the whole address it was sent to."), "address"))
    if sent.region not in range(1, 11):
        found.append(blocked("region-unknown", phrase("Choose one of the ten Regions."), "region"))
    confirmed = sent.address_confirmed_on
    if confirmed is None or (sent.on is not None and confirmed > sent.on):
        sentence = phrase(
            "Say when the address was read on the agency’s own site; it is read before mailing."
        )
        found.append(blocked("address-unconfirmed", sentence, "address_confirmed_on"))
    if Withdrawal.objects.filter(document=document).exists():
        found.append(blocked("withdrawn-already", phrase("{paper} is withdrawn.", paper=str(document)), "on"))
    return found


@transaction.atomic
def add_proof(sent: StatementSent, paper: FileIn, *, at: datetime, by: Person) -> StatementProof:
    """Keep a proof of delivery. The same file sent again is answered with the one that is kept."""
    StatementSent.objects.select_for_update(no_key=True, of=("self",)).get(pk=sent.pk)
    known = StatementProof.objects.filter(sent=sent, sha256=paper.sha256).first()
    if known is None and sent.proofs.count() >= MOST_PROOFS:
        sentence = phrase("It has {most} proofs, the most that are kept.", most=MOST_PROOFS)
        refuse_if_blocked([blocked("proofs-too-many", sentence, "paper")])
    return known or StatementProof.objects.create(
        sent=sent,
        media=paper.media,
        content=paper.content,
        sha256=paper.sha256,
        size=len(paper.content),
        at=at,
        by=by,
    )


@transaction.atomic
def state_earlier(machine: Equipment, earlier: EarlierIn, *, at: datetime, by: Person) -> EarlierStatement:
    """The owner states that a statement was sent earlier, and that no copy is left. It is shown as that, never as
    sent."""
    found = []
    if len(earlier.when.strip()) < 2:
        found.append(blocked("when-empty", phrase("Say when, as far as you know: 2011 will do."), "when"))
    if machine.kind != Equipment.Kind.MACHINE:
        found.append(blocked("no-machine", phrase("Only a recovery machine has a statement."), "when"))
    if not by.is_owner:
        found.append(blocked("not-owner", phrase("Only the owner states that."), "when"))
    refuse_if_blocked(found)
    return EarlierStatement.objects.create(
        equipment=machine,
        when=earlier.when.strip(),
        where=earlier.where.strip(),
        note=earlier.note.strip(),
        at=at,
        by=by,
    )


@transaction.atomic
def confirm_address(
    establishment: Establishment,
    *,
    region: int,
    address: str,
    confirmed_on: date,
    today: date,
    at: datetime,
    by: Person,
) -> RegionAddress:
    """The address of a Region as it was read on the agency's own site on a day. An older one stays on record."""
    plain, found = " ".join(address.split()), []
    if len(plain) < 8:
        found.append(blocked("address-short", phrase("Type the whole address."), "address"))
    if region not in range(1, 11):
        found.append(blocked("region-unknown", phrase("Choose one of the ten Regions."), "region"))
    if confirmed_on > today:
        found.append(blocked("confirmed-future", phrase("That day has not come yet."), "confirmed_on"))
    refuse_if_blocked(found)
    return RegionAddress.objects.create(
        establishment=establishment, region=region, address=plain, confirmed_on=confirmed_on, at=at, by=by
    )
