"""The owner's paper work for the tests to compose: a card's copy, a sheet for a supplier, a signed statement."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

from compliance.core.statement import STATEMENTS, MachineStated
from compliance.models import CardCopy, Document, StatementSent, SupplierNotice, Visit, VisitPass
from compliance.services import (
    CopyIn,
    NoticeIn,
    SentIn,
    StatementIn,
    add_proof,
    confirm_address,
    give_card_copy,
    note_notice,
    send_statement,
    sign_statement,
)
from compliance.services.visits import VisitIn, give_pass, open_visit
from shop.core.period import Period
from shop.models import Card, CardImage, Person
from shop.services import CardIn, LeavingIn, add_card, add_card_image, authorise_person, leave_shop
from shop.services.papers import read_file
from tests.compliance.pictures import marks, picture_of
from tests.factories import DAY, NOON, Shop

PDF = b"%PDF-1.4\na card\n%%EOF\n"
ALL = tuple(key for key, _sentence in STATEMENTS)
RE_1 = MachineStated("RE-1", "Sample Machine Works", "R-10", "Jan 2020", "RE1-00417")
RE_2 = MachineStated("RE-2", "Sample Machine Works", "R-20", "May 2022", "RE2-00102")
REGION_8 = (
    "1 Sample Plaza, Sample City, ST 00000"  # invented: no address of an agency stands in this repository
)


def photograph_card(shop: Shop, person: Person, *, at: datetime = NOON) -> CardImage:
    """Lee takes a photo of the newest card, with the place where it was taken in it."""
    card = person.cards.last()
    assert card is not None
    sent = picture_of(f"609 {card.number}", exif=marks())
    return add_card_image(card, read_file(sent), at=at, by=shop.lee)


def hire(
    shop: Shop, person: Person, issued_on: date, first_day: date, *, at: datetime = NOON, **card: Any
) -> Card:
    """A card of this number of days and an authorisation."""
    typed = CardIn("Sample Certification Program", "SAMPLE-9001", issued_on, person.name, **card)
    made = add_card(person, typed, today=at.date(), at=at, by=shop.marta)
    authorise_person(person, first_day=first_day, at=at, by=shop.marta)
    return made


def copy_cards(shop: Shop, *people: Person, on: date = DAY, at: datetime = NOON) -> CardCopy:
    return give_card_copy(CopyIn(shop.supplier, people), shop.establishment, on=on, at=at, by=shop.lee)


def stated(**said: Any) -> StatementIn:
    """A whole statement about both machines; what is named replaces a part of it."""
    whole: dict[str, Any] = {
        "purchaser": "Copper Gulch Auto Repair, LLC",
        "location": "100 Example Street, Copper Gulch, CO 80000",
        "machines": (RE_1, RE_2),
        "stated": ALL,
        "title": "Owner",
        "reason": "first statement",
    }
    return StatementIn(**whole | said)


def sign(
    shop: Shop, *, by: Person | None = None, on: date = DAY, at: datetime = NOON, **said: Any
) -> Document:
    return sign_statement(stated(**said), shop.establishment, on=on, at=at, by=by or shop.marta)


def send(
    shop: Shop, document: Document, *, today: date = DAY, at: datetime = NOON, **said: Any
) -> StatementSent:
    whole: dict[str, Any] = {
        "on": today,
        "how": StatementSent.How.CERTIFIED,
        "region": 8,
        "address": REGION_8,
        "address_confirmed_on": today,
        "tracking": "SAMPLE 0417",
    }
    return send_statement(document, SentIn(**whole | said), today=today, at=at, by=shop.lee)


def leave(shop: Shop, person: Person, last_day: date = DAY, *, at_once: bool = True) -> None:
    leave_shop(person, LeavingIn(last_day, at_once), today=DAY, at=NOON, by=shop.marta)


def tell(shop: Shop, person: Person, *, on: date = DAY) -> SupplierNotice:
    notice = NoticeIn(shop.supplier, on, "by email")
    return note_notice(person, notice, today=DAY, at=NOON, by=shop.lee)


def whole_paper_trail(shop: Shop) -> dict[str, str]:
    """One of each: a card with its photo at a supplier, a statement sent and proven, the address it went to."""
    image = photograph_card(shop, shop.dev)
    copy = copy_cards(shop, shop.dev)
    document = sign(shop)
    sent = send(shop, document)
    proof = add_proof(sent, read_file(PDF), at=NOON, by=shop.lee)
    region = {"region": 8, "address": REGION_8, "confirmed_on": DAY, "today": DAY}
    confirm_address(shop.establishment, **region, at=NOON, by=shop.marta)  # type: ignore[arg-type]
    return {
        "card": str(image.card_id),
        "image": str(image.pk),
        "supplier": str(shop.supplier.pk),
        "copy": copy.number,
        "statement": document.number,
        "sent": str(sent.pk),
        "proof": str(proof.pk),
    }


def a_visit(shop: Shop, *, at: datetime = NOON) -> tuple[Visit, VisitPass, str]:
    """Somebody from an agency came, and has a pass for the month up to the day; with the code of it."""
    said = VisitIn("Ona Brask", "EPA Region 8", True, "recovery records", shop.marta)
    visit = open_visit(said, shop.establishment, came_at=at, at=at, by=shop.marta)
    days = Period(DAY - timedelta(days=30), DAY)
    until = at + timedelta(hours=5)
    return visit, *give_pass(visit, days, until=until, today=DAY, at=at, by=shop.marta)
