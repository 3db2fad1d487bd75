"""The shop's chain: each closing and each document hashes the one before it."""

from __future__ import annotations

from datetime import datetime

from compliance.core.chain import START, link_hash
from compliance.models import Link
from shop.models import Establishment, Person


def add_link(establishment: Establishment, body: str, *, at: datetime, by: Person) -> Link:
    """Hang one more link on the chain; call it inside the transaction that writes what it stands for.

    Two writers at once cannot fork the chain: a hash is followed by one link only (unique in the database).
    """
    Establishment.objects.select_for_update(no_key=True).get(pk=establishment.pk)
    newest = Link.objects.filter(establishment=establishment).order_by("-place").first()
    place, before = (newest.place + 1, newest.hash) if newest is not None else (1, START)
    return Link.objects.create(
        establishment=establishment,
        place=place,
        before=before,
        body=body,
        hash=link_hash(before, body),
        at=at,
        by=by,
    )
