"""609 cards: put one on file, its image, a copy that is to follow; who buys and who signs for the shop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db import transaction

from shop.core.days import said_day
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.core.roles import Role
from shop.models import (
    Buyer,
    BuyerEnd,
    Card,
    CardImage,
    CopyToFollow,
    Officer,
    OwnerChange,
    Person,
    UnreadableImage,
)
from shop.queries import rules_on
from shop.services.papers import FileIn

MOST = 8  # images of one card; a retake or two is usual
FIRST_CARD = date(1990, 11, 15)  # Clean Air Act Amendments of 1990, which made section 609


@dataclass(frozen=True, slots=True)
class CardIn:
    """A card as printed. ``copy_due`` is given when the owner has only seen it and a copy is to follow."""

    program: str
    number: str
    issued_on: date
    name_on_card: str
    translator_assisted: bool = False
    copy_due: date | None = None


@transaction.atomic
def add_card(person: Person, card: CardIn, *, today: date, at: datetime, by: Person) -> Card:
    """Put a 609 card on file. No expiry is asked for, since the rule knows none (40 CFR 82.40).

    With ``copy_due`` the owner says that they saw it; until a copy is in, it carries no work after that day.
    """
    refuse_if_blocked([*card_problems(card, today), *_copy_problems(person, card, today, by)])
    made = Card.objects.create(
        person=person,
        program=card.program.strip(),
        number=card.number.strip(),
        issued_on=card.issued_on,
        name_on_card=card.name_on_card.strip(),
        translator_assisted=card.translator_assisted,
        at=at,
        by=by,
    )
    if card.copy_due is not None:
        CopyToFollow.objects.create(card=made, seen_on=today, due=card.copy_due, at=at, by=by)
    return made


def card_problems(card: CardIn, today: date) -> list[Finding]:
    """What stands against a new card."""
    found = []
    if card.issued_on > today:
        found.append(
            blocked("card-future", "The issue day has not come yet. Read the card again.", "issued_on")
        )
    if card.issued_on < FIRST_CARD:
        sentence = "Section 609 dates from November 15, 1990; no card is older. Read the card again."
        found.append(blocked("card-too-old", sentence, "issued_on"))
    taken = Card.objects.filter(program__iexact=card.program.strip(), number__iexact=card.number.strip())
    for other in taken.select_related("person")[:1]:
        sentence = (
            f"That card number of that program is on file for {other.person.name}. Read the card again."
        )
        found.append(blocked("card-known", sentence, "number"))
    return found


def _copy_problems(person: Person, card: CardIn, today: date, by: Person) -> list[Finding]:
    if card.copy_due is None:
        return []
    days = int(rules_on(person.establishment, today).card_copy_days)
    last = today + timedelta(days=days)
    if not by.is_owner:
        return [blocked("not-owner", phrase("Only the owner says that they have seen a card."), "copy_due")]
    if not today <= card.copy_due <= last:
        sentence = phrase(
            "By the shop's own rule the copy follows within {days} days: choose a day from today to {last}.",
            days=days,
            last=said_day(last),
        )
        return [blocked("copy-too-late", sentence, "copy_due", phrase("Shop rule"))]
    return []


@transaction.atomic
def add_card_image(card: Card, paper: FileIn, *, at: datetime, by: Person) -> CardImage:
    """Keep a photo or PDF of a card beside those that are there. The same one sent again is answered with the kept."""
    Card.objects.select_for_update(no_key=True, of=("self",)).get(pk=card.pk)
    known = CardImage.objects.filter(card=card, sha256=paper.sha256).first()
    if known is None and card.images.count() >= MOST:
        sentence = phrase("This card has {most} images, the most that are kept.", most=MOST)
        refuse_if_blocked([blocked("images-too-many", sentence, "paper")])
    return known or CardImage.objects.create(
        card=card,
        media=paper.media,
        content=paper.content,
        sha256=paper.sha256,
        size=len(paper.content),
        width=paper.width,
        height=paper.height,
        at=at,
        by=by,
    )


@transaction.atomic
def mark_unreadable(image: CardImage, *, why: str, at: datetime, by: Person) -> UnreadableImage:
    """Say that an image cannot be read. It stays; a copy that was promised is missing again."""
    found = []
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say in a few words what cannot be read."), "why"))
    if UnreadableImage.objects.filter(image=image).exists():
        found.append(
            blocked("unreadable-already", phrase("This image is marked as not readable already."), "why")
        )
    refuse_if_blocked(found)
    return UnreadableImage.objects.create(image=image, why=why.strip(), at=at, by=by)


@transaction.atomic
def name_buyer(person: Person, *, first_day: date, at: datetime, by: Person) -> Buyer:
    """From this day the person may buy refrigerant and sign for deliveries."""
    Person.objects.select_for_update(no_key=True).get(pk=person.pk)
    found = []
    if not person.is_active:
        found.append(
            blocked("buyer-left", phrase("{name} works here no longer.", name=person.name), "first_day")
        )
    running = Buyer.objects.filter(person=person, end=None).first()
    if running is not None:
        sentence = phrase(
            "{name} is on the list since {since}.", name=person.name, since=said_day(running.first_day)
        )
        found.append(blocked("buyer-already", sentence, "first_day"))
    refuse_if_blocked(found)
    return Buyer.objects.create(person=person, first_day=first_day, at=at, by=by)


@transaction.atomic
def end_buyer(buyer: Buyer, *, last_day: date, at: datetime, by: Person) -> BuyerEnd:
    """The last day on the list of those who buy."""
    found = []
    if last_day < buyer.first_day:
        found.append(
            blocked("ends-before-start", phrase("The last day is before the first day."), "last_day")
        )
    if BuyerEnd.objects.filter(buyer=buyer).exists():
        found.append(blocked("buyer-ended", phrase("This has ended already."), "last_day"))
    refuse_if_blocked(found)
    return BuyerEnd.objects.create(buyer=buyer, last_day=last_day, at=at, by=by)


@transaction.atomic
def name_officer(person: Person, *, title: str, first_day: date, at: datetime, by: Person) -> Officer:
    """The owner names a responsible officer: somebody who signs for the shop, with a title."""
    found = []
    if len(title.strip()) < 2:
        found.append(blocked("title-empty", phrase("Type the title, for example general manager."), "title"))
    if not by.is_owner:
        found.append(blocked("not-owner", phrase("Only the owner names a responsible officer."), "title"))
    if not person.is_active:
        found.append(
            blocked("officer-left", phrase("{name} works here no longer.", name=person.name), "title")
        )
    refuse_if_blocked(found)
    return Officer.objects.create(person=person, title=title.strip(), first_day=first_day, at=at, by=by)


@transaction.atomic
def change_owner(owner: Person, *, on: date, today: date, at: datetime, by: Person) -> OwnerChange:
    """The shop has another owner from this day on. Their equipment statement is theirs to sign."""
    found = []
    if owner.role != Role.OWNER or not owner.is_active:
        sentence = phrase("Choose somebody who signs on here as an owner. Let them in first.")
        found.append(blocked("not-an-owner", sentence, "owner"))
    if on > today:
        found.append(blocked("owner-future", phrase("That day has not come yet."), "on"))
    if OwnerChange.objects.filter(establishment=owner.establishment, on=on).exists():
        found.append(blocked("owner-known", phrase("A change of owner on that day is on file."), "on"))
    refuse_if_blocked(found)
    return OwnerChange.objects.create(establishment=owner.establishment, owner=owner, on=on, at=at, by=by)
