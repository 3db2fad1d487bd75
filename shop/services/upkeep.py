"""Looking after the shop's records: where reminders go, and backups that were brought back."""

from __future__ import annotations

from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction

from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import AuditNote, BackupTrial, Establishment, Person


@transaction.atomic
def send_reminders_to(address: str, establishment: Establishment, *, at: datetime, by: Person) -> None:
    """The e-mail address that reminders go to from now on; empty for none."""
    address = address.strip()
    try:
        if address:
            validate_email(address)
    except ValidationError:
        sentence = phrase("“{address}” is no e-mail address.", address=address[:60])
        refuse_if_blocked([blocked("address-unread", sentence, "reminders_to")])
    was, establishment.reminders_to = establishment.reminders_to, address
    establishment.save(update_fields=["reminders_to"])
    AuditNote.objects.create(by=by, at=at, about="reminders go to", was=was, now=address)


@transaction.atomic
def log_backup_trial(
    establishment: Establishment, *, on: date, whole: bool, note: str, today: date, at: datetime, by: Person
) -> BackupTrial:
    """Somebody brought a backup back on another computer and looked whether it was whole."""
    found = []
    if on > today:
        found.append(blocked("trial-future", phrase("That day has not come yet."), "on"))
    if len(note.strip()) < 3:
        sentence = phrase("Say which backup it was and where it was brought back.")
        found.append(blocked("trial-note", sentence, "note"))
    refuse_if_blocked(found)
    return BackupTrial.objects.create(
        establishment=establishment, on=on, whole=whole, note=note.strip(), at=at, by=by
    )
