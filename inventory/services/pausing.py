"""A count that is not finished: kept so that anybody in the office goes on with it, or dropped."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from inventory.models import CountDraft
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import AuditNote, Establishment, Person


@dataclass(frozen=True, slots=True)
class PausedIn:
    """``typed`` is what was ticked and typed, ``stood`` how each answered container stood then; ``version`` is the one
    that this page was made from, 0 when nothing was kept yet."""

    refrigerant: str
    typed: Mapping[str, Any]
    stood: Mapping[str, str]
    found: int
    asked: int
    version: int


@transaction.atomic
def keep_count(paused: PausedIn, establishment: Establishment, *, at: datetime, by: Person) -> CountDraft:
    """Keep an unfinished count. Refused when somebody else kept another state of it since this page was opened."""
    Establishment.objects.select_for_update(no_key=True).get(pk=establishment.pk)
    draft = CountDraft.objects.filter(establishment=establishment, refrigerant=paused.refrigerant).first()
    if draft is not None and draft.version != paused.version and draft.typed != paused.typed:
        sentence = phrase(
            "{by} kept this count at {time:%H:%M}, after you opened it. What you typed is still here. Press again"
            " to put yours in its place, or open this page anew and go on with that one.",
            by=draft.by.name,
            time=draft.saved_at.astimezone(ZoneInfo(establishment.time_zone)),
        )
        refuse_if_blocked([blocked("count-kept-since", sentence, "")])
    draft = draft or CountDraft(
        establishment=establishment, refrigerant=paused.refrigerant, started_at=at, version=0
    )
    draft.typed, draft.stood = dict(paused.typed), dict(paused.stood)
    draft.found, draft.asked = paused.found, paused.asked
    draft.version, draft.saved_at, draft.by = draft.version + 1, at, by
    draft.save()
    return draft


@transaction.atomic
def drop_count(draft: CountDraft, *, at: datetime, by: Person) -> None:
    """Throw an unfinished count away. It was no record; that it was dropped is noted."""
    was = f"{draft.found} of {draft.asked} found, kept by {draft.by.name}"[:200]
    AuditNote.objects.create(by=by, at=at, about=f"count of {draft.title}"[:80], was=was, now="dropped")
    draft.delete()
