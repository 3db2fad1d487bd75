"""The shop's own paper from before the book: scans by month, looked at and never turned into jobs."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction

from inventory.models import EarlierPaper, EarlierSetAside
from inventory.services.attaching import PaperIn
from shop.core.canonical import sha256
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Establishment, Person

MOST_A_MONTH = 40  # every one of them goes into each backup
OLDEST = date(1990, 11, 1)  # the month that section 609 dates from


@transaction.atomic
def keep_earlier_paper(
    paper: PaperIn,
    month: date,
    what: str,
    establishment: Establishment,
    *,
    today: date,
    at: datetime,
    by: Person,
) -> EarlierPaper:
    """Keep a scan under its month. The same bytes in that month are answered with the paper that is kept."""
    first = month.replace(day=1)
    refuse_if_blocked(_problems(first, what, today))
    Establishment.objects.select_for_update(no_key=True).get(pk=establishment.pk)
    kept = EarlierPaper.objects.defer("content").filter(establishment=establishment, month=first)
    digest = sha256(paper.content)
    known = kept.filter(sha256=digest, set_aside=None).first()
    if known is not None:
        return known
    if kept.count() >= MOST_A_MONTH:
        sentence = phrase("That month has {most} papers, the most it keeps.", most=MOST_A_MONTH)
        refuse_if_blocked([blocked("earlier-too-many", sentence, "month")])
    return EarlierPaper.objects.create(
        establishment=establishment,
        month=first,
        what=what.strip(),
        media=paper.media,
        content=paper.content,
        sha256=digest,
        size=len(paper.content),
        at=at,
        by=by,
    )


@transaction.atomic
def set_earlier_aside(paper: EarlierPaper, why: str, *, at: datetime, by: Person) -> EarlierSetAside:
    """Say that a paper counts no more. It stays on file with the reason."""
    found = []
    if not why.strip():
        found.append(blocked("why-empty", phrase("Say in a few words why it is set aside."), "why"))
    if EarlierSetAside.objects.filter(paper=paper).exists():
        found.append(blocked("earlier-aside", phrase("That paper is set aside already."), "why"))
    refuse_if_blocked(found)
    return EarlierSetAside.objects.create(paper=paper, why=why.strip(), at=at, by=by)


def _problems(month: date, what: str, today: date) -> list[Finding]:
    found = []
    if not what.strip():
        found.append(blocked("earlier-unnamed", phrase("Say in a few words what the paper is."), "what"))
    if month > today:
        found.append(blocked("earlier-future", phrase("That month has not come yet."), "month"))
    if month < OLDEST:
        sentence = phrase("Section 609 dates from November 1990; no paper of it is older.")
        found.append(blocked("earlier-too-old", sentence, "month"))
    return found
