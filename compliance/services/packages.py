"""Sets of files that are put together and written down: what was made, its hashes, who took it and when."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction

from compliance.models import Archived, KeepChoice, Package
from compliance.queries.old_records import keep_choice, old_records
from compliance.sheets.archive import archive_files
from compliance.sheets.writing import Write, Written
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Establishment, Person


def note_package(
    kind: Package.Kind, day: date, made: Written, establishment: Establishment, *, at: datetime, by: Person
) -> Package:
    """Write down that a set of files was made; call it inside the service's transaction."""
    return Package.objects.create(
        establishment=establishment,
        kind=kind,
        day=day,
        sha256=made.sha256,
        manifest_sha256=made.manifest_sha256,
        files=made.files,
        at=at,
        by=by,
    )


@transaction.atomic
def make_archive(
    establishment: Establishment, write: Write, *, today: date, at: datetime, by: Person
) -> Package:
    """Write the archive of everything that is past its time and that nothing keeps. It takes nothing away.

    Raises ``Refused`` when there is nothing to put in, or when somebody else than the owner asks.
    """
    free = [one for one in old_records(establishment, today) if one.is_free]
    found = owner_problems(by)
    if not free:
        sentence = phrase("No record is past its time and free. There is nothing to put into an archive.")
        found.append(blocked("archive-empty", sentence))
    refuse_if_blocked(found)
    made = write(archive_files(establishment, free, at))
    package = note_package(Package.Kind.ARCHIVE, today, made, establishment, at=at, by=by)
    Archived.objects.bulk_create(
        [Archived(package=package, kind=one.kind.value, key=one.key, anchor=one.anchor) for one in free],
        batch_size=500,
    )
    return package


@transaction.atomic
def choose_keeping(
    establishment: Establishment, *, for_ever: bool, why: str, at: datetime, by: Person
) -> KeepChoice:
    """The owner keeps everything for ever, or goes back to the years of the rules."""
    found = owner_problems(by)
    before = keep_choice(establishment)
    if (before is not None and before.for_ever) is for_ever:
        sentence = phrase("That is how it is kept already.")
        found.append(blocked("kept-so-already", sentence, "how"))
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say why."), "why"))
    refuse_if_blocked(found)
    return KeepChoice.objects.create(
        establishment=establishment, for_ever=for_ever, why=why.strip(), at=at, by=by
    )


def owner_problems(by: Person) -> list[Finding]:
    return [] if by.is_owner else [blocked("not-owner", phrase("Only the owner does that."))]
