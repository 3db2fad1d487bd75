"""Keys of programs: made by the person in whose name the program writes, taken back any time."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction

from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.core.quick import digest
from shop.core.roles import Role
from shop.core.scopes import LONGEST_DAYS, Scope, roles_below
from shop.models import Person, ProgramKey, ProgramKeyEnd, ProgramKeyUse

KEY_BYTES = 32  # 256 bits: nothing to guess
SHOWN = 8  # letters of the key that its list shows, to tell one from another
USE_IS_NOTED = timedelta(minutes=1)  # not oftener, so that reading does not become writing


@dataclass(frozen=True, slots=True)
class ProgramKeyIn:
    """What a program is called, the role and the scopes that it gets, and for how many days."""

    name: str
    role: Role
    scopes: Sequence[Scope]
    days: int


@transaction.atomic
def make_program_key(said: ProgramKeyIn, *, at: datetime, by: Person) -> tuple[ProgramKey, str]:
    """A key for a program that writes in its maker's name. The text beside it is shown once and kept nowhere."""
    name, found = said.name.strip(), []
    if not name:
        sentence = phrase("Say which program or device gets the key.")
        found.append(blocked("program-name", sentence, "name"))
    if said.role not in roles_below(by.role):
        sentence = phrase("A program of yours has your role, {role}.", role=by.role)
        found.append(blocked("program-role", sentence, "role"))
    if not said.scopes:
        sentence = phrase("Tick what the program may do; without a tick it may do nothing.")
        found.append(blocked("program-scopes", sentence, "scopes"))
    if not 1 <= said.days <= LONGEST_DAYS:
        sentence = phrase("A key is good for 1 to {days} days.", days=LONGEST_DAYS)
        found.append(blocked("program-days", sentence, "days"))
    refuse_if_blocked(found)
    key = secrets.token_urlsafe(KEY_BYTES)
    row = ProgramKey.objects.create(
        person=by,
        name=name,
        role=said.role,
        scopes=" ".join(sorted(set(said.scopes))),
        ends_at=at + timedelta(days=said.days),
        starts_with=key[:SHOWN],
        key_sha256=digest(key),
        at=at,
        by=by,
    )
    return row, key


@transaction.atomic
def end_program_key(key: ProgramKey, *, at: datetime, by: Person) -> ProgramKeyEnd:
    """Take a key back: one's own, or as owner anybody's at the shop."""
    if ProgramKeyEnd.objects.filter(key=key).exists():
        sentence = phrase("The key of {name} has been taken back already.", name=key.name)
        refuse_if_blocked([blocked("program-ended", sentence)])
    return ProgramKeyEnd.objects.create(key=key, at=at, by=by)


def note_program_use(key: ProgramKey, *, at: datetime, by: Person) -> None:
    """Remember when a key opened something last, at most once a minute; ``by`` is whom it signs for."""
    used = getattr(key, "use", None)
    if used is None or at - used.last_at >= USE_IS_NOTED:
        ProgramKeyUse.objects.update_or_create(key=key, defaults={"last_at": at})
