"""609 cards and what hangs on them: images, promised copies, authorisations, leaving, who buys, who signs."""

from __future__ import annotations

from datetime import date
from functools import cache

from django.db import models
from django.db.models import Exists, OuterRef, Q, Subquery
from django.db.models.sql import Query

from shop.models.shop import Establishment, Person
from shop.records import Record


class Cards(models.Manager["Card"]):
    """Every card knows whether a readable copy is on file (``pictured``) and the day by which a promised copy that is
    still missing was due (``copy_due``); the work-day question asks for it wherever cards are read."""

    def get_queryset(self) -> models.QuerySet[Card]:
        return models.QuerySet(Card, query=_with_copies().chain(), using=self._db)


@cache
def _with_copies() -> Query:
    """Put together once: cards are read with every stage, and this is most of what such a read costs."""
    readable = CardImage.objects.filter(unreadable=None)
    copies = readable.filter(card=OuterRef("pk"))
    promised = CopyToFollow.objects.filter(~Exists(readable.filter(card=OuterRef("card"))))
    due = promised.filter(card=OuterRef("pk")).values("due")[:1]
    query: Query = models.QuerySet(Card).annotate(pictured=Exists(copies), copy_due=Subquery(due)).query
    return query


class Card(Record):
    """A person's 609 card. It carries no expiry, because the rule knows none (40 CFR 82.40)."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="cards")
    program = models.CharField(max_length=120)
    number = models.CharField(max_length=60)
    issued_on = models.DateField()
    name_on_card = models.CharField(max_length=80)
    translator_assisted = models.BooleanField('it says "translator assisted"', default=False)

    objects = Cards()
    pictured: bool  # annotated by the manager
    copy_due: date | None

    class Meta:
        ordering = ["issued_on", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["program", "number"], name="card_number_is_its_programs_own"),
        ]

    def __str__(self) -> str:
        return self.number


class CardImage(Record):
    """A photo, drawn anew, or a PDF of a card. A retake stands beside the first one."""

    class Media(models.TextChoices):
        JPEG = "image/jpeg", "photo"
        PDF = "application/pdf", "PDF"

    card = models.ForeignKey(Card, on_delete=models.PROTECT, related_name="images")
    media = models.CharField(max_length=16, choices=Media.choices)
    content = models.BinaryField()
    sha256 = models.CharField("SHA-256", max_length=64)
    size = models.PositiveIntegerField("bytes")
    width = models.PositiveSmallIntegerField("pixels across; 0 for a PDF", default=0)
    height = models.PositiveSmallIntegerField("pixels down; 0 for a PDF", default=0)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["card", "sha256"], name="card_image_is_kept_once")]


class UnreadableImage(Record):
    """Somebody looked and could not read it: it stays on file and proves nothing."""

    image = models.OneToOneField(CardImage, on_delete=models.PROTECT, related_name="unreadable")
    why = models.CharField(max_length=200)

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="unreadable_image_says_why")]


class CopyToFollow(Record):
    """The owner has seen the card; a copy of it follows by ``due``. A rule of the shop, not of the law."""

    card = models.OneToOneField(Card, on_delete=models.PROTECT, related_name="copy_to_follow")
    seen_on = models.DateField()
    due = models.DateField()


class Authorisation(Record):
    """From this day the person may work on air conditioning at this shop."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="authorisations")
    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    first_day = models.DateField()

    class Meta:
        ordering = ["first_day", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["person", "establishment", "first_day"], name="authorisation_starts_once_a_day"
            ),
        ]


class AuthorisationEnd(Record):
    """The last day of an authorisation; the card stays, since jobs stand on it."""

    authorisation = models.OneToOneField(Authorisation, on_delete=models.PROTECT, related_name="end")
    last_day = models.DateField()


class Leaving(Record):
    """Somebody leaves: their last day, and whether access ended at once or at the end of that day."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="leavings")
    last_day = models.DateField()
    at_once = models.BooleanField("access ended at once")

    class Meta:
        ordering = ["pk"]


class Buyer(Record):
    """From this day the person may buy refrigerant for the shop and sign for its delivery."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="buying")
    first_day = models.DateField()

    class Meta:
        ordering = ["pk"]


class BuyerEnd(Record):
    """The last day on which somebody may buy for the shop."""

    buyer = models.OneToOneField(Buyer, on_delete=models.PROTECT, related_name="end")
    last_day = models.DateField()


class Officer(Record):
    """The owner names somebody who signs for the shop as a responsible officer (40 CFR 82.42(a)(1)), with the title."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="offices")
    title = models.CharField(max_length=60)
    first_day = models.DateField()

    class Meta:
        ordering = ["pk"]


class OwnerChange(Record):
    """From this day the shop has another owner, who certifies the equipment anew."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="owner_changes")
    owner = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()

    class Meta:
        ordering = ["on", "pk"]
