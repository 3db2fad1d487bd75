"""Copies of 609 cards for suppliers, and the notice when somebody has left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from compliance.core.card_copy import card_copy_paper, notice_paper
from compliance.models import CardCopied, CardCopy, SupplierNotice
from compliance.pdf.drawing import draw
from compliance.queries.card_copies import (
    best_image,
    buyers_on,
    copy_facts,
    copy_photos,
    holdings,
    notice_facts,
)
from inventory.models import Supplier
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Card, Establishment, Person
from shop.queries import people, work_day
from shop.services import next_number


@dataclass(frozen=True, slots=True)
class CopyIn:
    """Whose cards go to which supplier."""

    supplier: Supplier
    people: Sequence[Person]


@dataclass(frozen=True, slots=True)
class NoticeIn:
    supplier: Supplier
    on: date
    how: str


@transaction.atomic
def give_card_copy(
    copy: CopyIn, establishment: Establishment, *, on: date, at: datetime, by: Person
) -> CardCopy:
    """Make the sheet for a supplier and note who got which cards when.

    Refused for somebody who has left, or whose card is not in force: that would be no current proof.
    """
    chosen = list(people(establishment).filter(pk__in=[one.pk for one in copy.people]))
    refuse_if_blocked(_copy_problems(chosen, on))
    number = f"CC{on:%y}-{next_number(f'CC{on:%y}', establishment, by=by):02d}"
    names = [person.name for person in buyers_on(establishment, on)]
    made = CardCopy.objects.create(
        establishment=establishment,
        number=number,
        supplier=copy.supplier,
        on=on,
        buyers="\n".join(names),
        at=at,
        by=by,
    )
    for person in chosen:
        for card in _in_force(person, on):
            CardCopied.objects.create(copy=made, card=card, image=best_image(card.pk))
    return made


def _in_force(person: Person, on: date) -> list[Card]:
    """The card that answers for that day."""
    answer = work_day(person, on).card
    return [
        one
        for one in person.cards.all()
        if answer is not None and (one.program, one.number) == (answer.program, answer.number)
    ]


def _copy_problems(chosen: Sequence[Person], on: date) -> list[Finding]:
    if not chosen:
        return [blocked("people-empty", phrase("Choose whose card goes out."), "people")]
    found = []
    for person in chosen:
        if not person.is_active or person.leaves_on is not None:
            sentence = phrase(
                "{name} has left or is leaving. Their card is no current proof; choose somebody who works here.",
                name=person.name,
            )
            found.append(blocked("card-of-a-leaver", sentence, "people"))
        elif not work_day(person, on).in_force:
            found.append(blocked("card-not-in-force", work_day(person, on).sentence, "people"))
    return found


@transaction.atomic
def note_notice(person: Person, notice: NoticeIn, *, today: date, at: datetime, by: Person) -> SupplierNotice:
    """A supplier who holds a leaver's card was told: when and how."""
    found = []
    held = [one for one in holdings(person.establishment, person) if one.supplier == notice.supplier]
    if not held:
        found.append(
            blocked("holds-none", phrase("This supplier holds no card of {name}.", name=person.name), "on")
        )
    elif held[0].current:
        found.append(blocked("still-here", phrase("{name} still works here.", name=person.name), "on"))
    if notice.on > today:
        found.append(blocked("notice-future", phrase("That day has not come yet."), "on"))
    if held and notice.on < held[-1].copies[-1].on:
        found.append(blocked("notice-too-early", phrase("That is before the card was given to them."), "on"))
    if len(notice.how.strip()) < 2:
        found.append(blocked("how-empty", phrase("Say how: by mail, by email, at the counter."), "how"))
    refuse_if_blocked(found)
    return SupplierNotice.objects.create(
        person=person, supplier=notice.supplier, on=notice.on, how=notice.how.strip(), at=at, by=by
    )


def card_copy_pdf(copy: CardCopy) -> bytes:
    """The bytes of its sheet: the same rows draw the same bytes."""
    return draw(card_copy_paper(copy_facts(copy), copy_photos(copy)))


def notice_pdf(person: Person, supplier: Supplier, *, on: date, at: datetime, by: Person) -> bytes:
    """The letter, as PDF."""
    held = [one for one in holdings(person.establishment, person) if one.supplier == supplier]
    return draw(notice_paper(notice_facts(person, held, on=on, at=at, by=by)))
