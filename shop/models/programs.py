"""Programs and devices that speak to us with a key of somebody's, and what they were answered."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from shop.core.roles import ROLES, Role
from shop.models.shop import Person
from shop.records import Record


class ProgramKey(Record):
    """A program that writes in its maker's name (``by``), in this role and no other. Only the key's hash is kept."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="program_keys")
    name = models.CharField(max_length=40)
    role = models.CharField(max_length=20, choices=[(role, role.capitalize()) for role in ROLES])
    scopes = models.CharField(max_length=200)
    ends_at = models.DateTimeField()
    starts_with = models.CharField(max_length=8)
    key_sha256 = models.CharField(max_length=64, unique=True)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(person=F("by")), name="program_key_is_made_by_its_person"),
            models.CheckConstraint(condition=Q(role__in=ROLES), name="program_key_has_a_known_role"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def opens(self) -> list[str]:
        return self.scopes.split()

    @property
    def as_role(self) -> Role:
        return Role(self.role)


class ProgramKeyEnd(Record):
    """The key was taken back: from now on it opens nothing."""

    key = models.OneToOneField(ProgramKey, on_delete=models.PROTECT, related_name="end")


class ProgramKeyUse(models.Model):
    """When a key opened something last, to the minute."""

    key = models.OneToOneField(ProgramKey, on_delete=models.PROTECT, related_name="use")
    last_at = models.DateTimeField()


class ProgramAnswer(models.Model):
    """What a write was answered under its one-time key, so that a second sending writes nothing and reads the same."""

    once = models.CharField(max_length=64)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    asked_sha256 = models.CharField(max_length=64)
    status = models.PositiveSmallIntegerField()
    body = models.TextField()
    sent_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["by", "once"], name="program_is_answered_once")]
