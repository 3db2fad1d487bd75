"""Shared computers of the bay, and what people show there instead of their password. Secrets are kept hashed."""

from __future__ import annotations

from typing import TypeVar

from django.db import models
from django.db.models import Exists, F, OuterRef, Q

from shop.models.shop import Establishment, Person
from shop.records import Record

AnyKey = TypeVar("AnyKey", bound=models.Model)


class Station(Record):
    """A computer that several people share. Its browser keeps the token; only the token's hash is kept here."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="stations")
    name = models.CharField(max_length=40)
    token_sha256 = models.CharField(max_length=64, unique=True)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name


class StationEnd(Record):
    """The station was taken away: from now on its browser is one like any other."""

    station = models.OneToOneField(Station, on_delete=models.PROTECT, related_name="end")


class Keys(models.QuerySet[AnyKey]):
    def holding(self) -> Keys[AnyKey]:
        """The newest of each person, where it has not been taken away."""
        newer = self.model._default_manager.filter(person=OuterRef("person"), pk__gt=OuterRef("pk"))
        return self.filter(~Exists(newer), end=None)


class Pin(Record):
    """A person's PIN, hashed as a password is. The newest holds; nobody sets another's."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="pins")
    hashed = models.CharField(max_length=128)

    objects = Keys.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(person=F("by")), name="pin_is_set_by_its_person"),
        ]


class PinEnd(Record):
    """The PIN was taken away."""

    pin = models.OneToOneField(Pin, on_delete=models.PROTECT, related_name="end")


class Badge(Record):
    """A person's badge, of whose code only the hash is kept. The newest holds."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="badges")
    code_sha256 = models.CharField(max_length=64, unique=True)

    objects = Keys.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(person=F("by")), name="badge_is_made_by_its_person"),
        ]


class BadgeEnd(Record):
    """The badge was taken away."""

    badge = models.OneToOneField(Badge, on_delete=models.PROTECT, related_name="end")
