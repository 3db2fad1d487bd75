"""The open jobs of somebody who leaves go into other hands."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from compliance.models import HandOver
from compliance.queries.people import open_jobs_of
from compliance.services.bends import hand_over
from shop.core.phrase import phrase
from shop.models import Person


@transaction.atomic
def hand_over_all(person: Person, *, to: Person, at: datetime, by: Person) -> list[HandOver]:
    """Give every open job of somebody to somebody else; each stage keeps the name of whoever signed it."""
    note = phrase("{name} leaves", name=person.name)
    return [hand_over(job, to=to, note=note, at=at, by=by) for job in open_jobs_of(person)]
