"""An import taken back as one, as long as nothing else stands on it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.db import models, transaction
from django.db.models import Q, QuerySet

from inventory.core.importing import What
from inventory.models import (
    Can,
    Container,
    CountLine,
    Entry,
    Fate,
    Import,
    ImportedRow,
    ImportUndone,
    Label,
    Movement,
    WeighTicket,
)
from inventory.posting import reverse
from shop.core.finding import Kind
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase, word
from shop.models import AuditNote, Card, Person, SearchTail, Vehicle
from shop.services.people import shut_out

AT_ONCE = 5000


@transaction.atomic
def undo_import(made: Import, why: str, *, today: date, at: datetime, by: Person) -> ImportUndone:
    """Take a whole import back. Stock leaves the book by an entry that answers the opening one, and its cans' use
    ends; vehicles go; people's sign-on ends, since their cards are records. Refused with what stands on any of it."""
    Import.objects.select_for_update(no_key=True, of=("self",)).get(pk=made.pk)
    found = (
        [] if why.strip() else [blocked("why-empty", phrase("Say in a few words why it is undone."), "why")]
    )
    if ImportUndone.objects.filter(made=made).exists():
        found.append(blocked("import-undone", phrase("This import is already undone."), "why"))
    refuse_if_blocked(found or _what_stands(made))
    entry = None
    if made.what == What.STOCK:
        entry = _out_of_the_book(made, f"Undone: {made.file_name}, {why.strip()}"[:200], today, at=at, by=by)
    elif made.what == What.VEHICLES:
        keys = [str(key) for key in made.made.values_list("key", flat=True)]
        for start in range(0, len(keys), AT_ONCE):
            some = keys[start : start + AT_ONCE]
            SearchTail.objects.filter(establishment=made.establishment, kind=Kind.CAR, key__in=some).delete()
        Vehicle.objects.filter(pk__in=_keys(made)).delete()
    else:
        for person in Person.objects.filter(pk__in=_keys(made), is_active=True):
            shut_out(person, at=at, by=by)
    return ImportUndone.objects.create(made=made, entry=entry, why=why.strip(), at=at, by=by)


def _out_of_the_book(made: Import, text: str, today: date, *, at: datetime, by: Person) -> Entry:
    assert made.count is not None  # noqa: S101 - the database says so of stock
    entry = reverse(made.count.entry, on=today, text=text, at=at, by=by)
    Fate.objects.bulk_create(
        Fate(container=can, what=Fate.What.UNDONE, why=made.file_name, at=at, by=by) for can in _cans(made)
    )
    return entry


def _cans(made: Import) -> QuerySet[Container]:
    return Container.objects.filter(pk__in=CountLine.objects.filter(count=made.count).values("container"))


def _keys(made: Import) -> QuerySet[ImportedRow, Any]:
    return ImportedRow.objects.filter(made=made).values("key")


def _what_stands(made: Import) -> list[Finding]:
    if made.what == What.STOCK:
        return _on_the_cans(made)
    if made.what == What.VEHICLES:
        return standing_on(Vehicle, _keys(made), {})
    found = standing_on(Person, _keys(made), {Card: Q(received_at__lte=made.received_at)})
    for person in Person.objects.filter(pk__in=_keys(made), last_login__isnull=False)[:1]:
        sentence = phrase("It cannot be undone: {name} has signed on.", name=person.name)
        found.append(blocked("import-used", sentence, "why"))
    return found


def _on_the_cans(made: Import) -> list[Finding]:
    assert made.count is not None  # noqa: S101 - the database says so of stock
    own: dict[type[models.Model], Q] = {
        Can: Q(),
        Label: Q(),
        CountLine: Q(count=made.count),
        WeighTicket: Q(received_at__lte=made.received_at),
    }
    cans = _cans(made).values("pk")
    found = standing_on(Container, cans, own)
    later = Movement.objects.filter(Q(source__in=cans) | Q(target__in=cans)).exclude(entry=made.count.entry)
    return found or _said(later.count(), "movements of the book")


def standing_on(
    model: type[models.Model], keys: QuerySet[Any, Any], own: Mapping[type[models.Model], Q]
) -> list[Finding]:
    """What any table of any app keeps about these rows, other than what came in with them (``own``)."""
    found = []
    for relation in model._meta.get_fields(include_hidden=True):
        if not (relation.auto_created and (relation.one_to_many or relation.one_to_one)):
            continue
        other: Any = relation.related_model
        rows = other._default_manager.filter(**{f"{relation.field.name}__in": keys})  # type: ignore[union-attr]
        if other in own:
            rows = rows.exclude(own[other]) if own[other] else rows.none()
        if other is AuditNote:
            continue
        found += _said(rows.count(), str(other._meta.verbose_name_plural))
    return found


def _said(number: int, things: str) -> list[Finding]:
    if not number:
        return []
    sentence = phrase(
        "It cannot be undone: it was used since ({number} {things}).", number=number, things=word(things)
    )
    return [blocked("import-used", sentence, "why")]
