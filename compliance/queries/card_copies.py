"""Which supplier holds which card, from when, and what they were told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.conf import settings
from django.db.models import Prefetch, Q, QuerySet
from django.urls import reverse

from compliance.core.card_copy import CardCopyFacts, CardPhoto, CopiedCard, NoticeFacts
from compliance.models import CardCopied, CardCopy, SupplierNotice
from compliance.queries.certificate_facts import shop_facts
from compliance.queries.facts import local
from inventory.models import Supplier
from shop.models import Buyer, CardImage, Establishment, Person
from shop.queries import people, work_day


@dataclass(frozen=True, slots=True)
class Holding:
    """One card at one supplier. ``notice`` is what they were told after it was given, None when nothing."""

    supplier: Supplier
    person: Person
    number: str
    copies: tuple[CardCopy, ...]
    notice: SupplierNotice | None

    @property
    def current(self) -> bool:
        """Whether the person still works here."""
        return self.person.is_active and self.person.leaves_on is None

    @property
    def to_tell(self) -> bool:
        return not self.current and self.notice is None


def copies(establishment: Establishment) -> QuerySet[CardCopy]:
    cards = CardCopied.objects.select_related("card__person", "image").defer("image__content")
    rows = CardCopy.objects.filter(establishment=establishment).select_related("supplier", "by")
    return rows.prefetch_related(Prefetch("cards", queryset=cards))


def holdings(establishment: Establishment, person: Person | None = None) -> list[Holding]:
    """Suppliers against cards held, in three queries."""
    rows = CardCopied.objects.filter(copy__establishment=establishment)
    if person is not None:
        rows = rows.filter(card__person=person)
    rows = rows.select_related("copy__supplier", "card__person").order_by(
        "copy__supplier__name", "card__person__name", "pk"
    )
    told = SupplierNotice.objects.filter(person__establishment=establishment).order_by("pk")
    notices = {(one.supplier_id, one.person_id): one for one in told}
    grouped: dict[tuple[int, int], list[CardCopied]] = {}
    for row in rows:
        grouped.setdefault((row.copy.supplier_id, row.card_id), []).append(row)
    found = []
    for (supplier, _card), mine in grouped.items():
        last = mine[-1]
        notice = notices.get((supplier, last.card.person_id))
        if notice is not None and notice.on < last.copy.on:
            notice = None
        given = tuple(row.copy for row in mine)
        found.append(Holding(last.copy.supplier, last.card.person, last.card.number, given, notice))
    return found


def buyers_on(establishment: Establishment, day: date) -> list[Person]:
    """Who may buy and sign for deliveries on a day: named by the owner, and working here."""
    running = Buyer.objects.filter(person__establishment=establishment, first_day__lte=day)
    running = running.filter(Q(end=None) | Q(end__last_day__gte=day))
    names = running.filter(person__is_active=True).select_related("person").order_by("person__name")
    return [one.person for one in names]


def may_be_copied(establishment: Establishment, day: date) -> list[Person]:
    """Whose card may go out as current proof: they work here, and a card is in force."""
    return [
        person
        for person in people(establishment)
        if person.is_active and person.leaves_on is None and work_day(person, day).in_force
    ]


def best_image(card_pk: int) -> CardImage | None:
    """The newest image that can be read."""
    return CardImage.objects.filter(card=card_pk, unreadable=None).defer("content").order_by("-pk").first()


def copy_facts(copy: CardCopy) -> CardCopyFacts:
    """The same rows always make the same facts, so the sheet is drawn when it is asked for and not stored."""
    house = copy.establishment
    return CardCopyFacts(
        number=copy.number,
        on=copy.on.isoformat(),
        shop=shop_facts(house),
        supplier=copy.supplier.name,
        supplier_address=copy.supplier.address,
        cards=tuple(_copied(row) for row in copy.cards.all()),
        buyers=tuple(copy.buyers.splitlines()),
        made_at=local(house, copy.at).isoformat(timespec="minutes"),
        made_by=copy.by.name,
        practice=settings.PRACTICE,
    )


def _copied(row: CardCopied) -> CopiedCard:
    card, image = row.card, row.image
    kind = "" if image is None else "photo" if image.media == CardImage.Media.JPEG else "PDF"
    return CopiedCard(
        card.person.name,
        card.program,
        card.number,
        card.issued_on.isoformat(),
        card.name_on_card,
        card.translator_assisted,
        kind,
        image.sha256 if image else "",
    )


def copy_photos(copy: CardCopy) -> dict[str, CardPhoto]:
    """The photos on a sheet, by card number."""
    rows = copy.cards.filter(image__media=CardImage.Media.JPEG).select_related("card", "image")
    return {
        row.card.number: CardPhoto(
            bytes(row.image.content),
            row.image.width,
            row.image.height,
            reverse("people:card-image", args=[row.card.person_id, row.image.pk]),
        )
        for row in rows
        if row.image is not None
    }


def notice_facts(person: Person, held: list[Holding], *, on: date, at: datetime, by: Person) -> NoticeFacts:
    """What one supplier is told; ``held`` are the cards of that person which they hold."""
    house, supplier = person.establishment, held[0].supplier
    leaving = person.leavings.last()
    given = {(copy.number, copy.on.isoformat()) for one in held for copy in one.copies}
    return NoticeFacts(
        shop=shop_facts(house),
        supplier=supplier.name,
        supplier_address=supplier.address,
        name=person.name,
        cards=tuple(one.number for one in held),
        given=tuple(sorted(given)),
        last_day=(leaving.last_day if leaving is not None else on).isoformat(),
        on=on.isoformat(),
        made_at=local(house, at).isoformat(timespec="minutes"),
        made_by=by.name,
        practice=settings.PRACTICE,
    )
