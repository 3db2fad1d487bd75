"""Telling other programs what happened: who listens, and the letters that wait to be sent to them."""

from __future__ import annotations

import secrets
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.crypto import salted_hmac

from shop.core.canonical import canonical, sha256
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.outgoing import MOST_TRIES, TRIAL, What, choices, url_problems
from shop.core.phrase import phrase
from shop.models import (
    Establishment,
    Letter,
    LetterAgain,
    LetterDue,
    Listener,
    ListenerEnd,
    News,
    Person,
)
from shop.queries import dead_letters

SEED_BYTES = 32


@dataclass(frozen=True, slots=True)
class ListenerIn:
    """A program as typed: what it is called here, where it listens, what it is told."""

    name: str
    url: str
    events: tuple[str, ...]


def tell(
    establishment: Establishment,
    what: What,
    facts: Mapping[str, object],
    *,
    at: datetime,
    by: Person | None,
) -> None:
    """Write down what other programs are to be told; call it inside the transaction in which it happened, so that
    neither is without the other. Nothing is sent here, and nothing written where nobody listens."""
    listeners = Listener.objects.filter(establishment=establishment, end=None, **{what.value: True})
    _write(what.value, facts, list(listeners), at=at, by=by)


def _write(
    event: str,
    facts: Mapping[str, object],
    listeners: list[Listener],
    *,
    at: datetime,
    by: Person | None,
    tries: int = 0,
) -> list[Letter]:
    if not listeners:
        return []
    house = listeners[0].establishment
    news = News.objects.create(establishment=house, event=event, facts=canonical(dict(facts)), at=at, by=by)
    letters = [Letter(news=news, listener=one, key=uuid.uuid4().hex) for one in listeners]
    Letter.objects.bulk_create(letters)
    LetterDue.objects.bulk_create([LetterDue(letter=letter, at=at, tries=tries) for letter in letters])
    return letters


def secret_of(listener: Listener) -> str:
    """The secret that letters to this listener are signed with, made anew each time: it is kept nowhere.

    Raises ``Refused`` when the signing key of the installation is another one than when the listener was made.
    """
    secret = _secret(listener.seed)
    if sha256(secret) != listener.secret_sha256:
        sentence = phrase(
            "The signing key of this installation has changed since {name} was made, so its secret is lost. End it and"
            " make it anew.",
            name=listener.name,
        )
        refuse_if_blocked([blocked("secret-lost", sentence)])
    return secret


def _secret(seed: str) -> str:
    return salted_hmac("shop.Listener", seed, algorithm="sha256").hexdigest()


@transaction.atomic
def add_listener(
    listener: ListenerIn, establishment: Establishment, *, at: datetime, by: Person
) -> tuple[Listener, str]:
    """A program that is told from now on; the secret that comes back is shown once and kept nowhere."""
    name, url = listener.name.strip(), listener.url.strip()
    chosen = {what.value: what.value in listener.events for what in What}
    found = [*url_problems(url), *choices(chosen)]
    if not name:
        found.append(blocked("listener-name", phrase("Give it a name, for example Bookkeeping."), "name"))
    refuse_if_blocked(found)
    seed = secrets.token_urlsafe(SEED_BYTES)
    secret = _secret(seed)
    made = Listener.objects.create(
        establishment=establishment,
        name=name,
        url=url,
        seed=seed,
        secret_sha256=sha256(secret),
        **chosen,
        at=at,
        by=by,
    )
    return made, secret


@transaction.atomic
def end_listener(listener: Listener, *, at: datetime, by: Person) -> ListenerEnd:
    """Nothing more is told; what waits is not sent."""
    _refuse_ended(listener)
    LetterDue.objects.filter(letter__listener=listener).delete()
    return ListenerEnd.objects.create(listener=listener, at=at, by=by)


@transaction.atomic
def write_trial(listener: Listener, *, at: datetime, by: Person) -> Letter:
    """A letter that says nothing, to see whether the address works. It is tried once."""
    _refuse_ended(listener)
    return _write(TRIAL, {}, [listener], at=at, by=by, tries=MOST_TRIES - 1)[0]


@transaction.atomic
def send_again(listener: Listener, keys: Iterable[str] | None, *, at: datetime, by: Person) -> list[Letter]:
    """Have dead letters of a listener sent again, those with these keys or all of them (None). Each keeps its key."""
    _refuse_ended(listener)
    letters = list(dead_letters(listener) if keys is None else dead_letters(listener).filter(key__in=keys))
    if not letters:
        sentence = phrase("There is no dead letter to send again: it was taken, or it is being sent.")
        refuse_if_blocked([blocked("nothing-dead", sentence)])
    for letter in letters:
        LetterAgain.objects.create(letter=letter, at=at, by=by)
    LetterDue.objects.filter(letter__in=letters).update(at=at, tries=0, held_until=None)
    return letters


def _refuse_ended(listener: Listener) -> None:
    """Look under a lock, so that two do not end it or send again at once."""
    Listener.objects.select_for_update(no_key=True).get(pk=listener.pk)
    if ListenerEnd.objects.filter(listener=listener).exists():
        sentence = phrase("{name} is told nothing any more.", name=listener.name)
        refuse_if_blocked([blocked("listener-ended", sentence)])
