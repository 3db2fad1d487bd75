"""Documents: facts, bytes and hash, numbered without gaps, chained, never changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.conf import settings
from django.db import transaction

from compliance.core.paper import Paper
from compliance.core.wording import day, sentence
from compliance.models import Document, Link, Withdrawal
from compliance.pdf.drawing import draw
from compliance.queries.cleared import cleared_paper_problems
from compliance.queries.facts import local
from compliance.services.chain import add_link
from compliance.services.finding import findable_paper
from shop.core.canonical import canonical, sha256
from shop.core.findings import blocked, refuse_if_blocked
from shop.models import Establishment, Person
from shop.services.finding import make_findable


@dataclass(frozen=True, slots=True)
class Issue:
    """What a document needs beside its facts. ``replaces`` is the version it takes the place of."""

    kind: Document.Kind
    number: str
    version: int
    dated: date
    why: str = ""
    replaces: Document | None = None


def replaces_line(old: Document, *said: str) -> str:
    """ "Replaces version 1 of Jul 1 2026. The serial number was misread.": on the shop's own day, in sentences."""
    on = local(old.establishment, old.at)
    parts = [sentence(one) for one in said if one.strip()]
    return " ".join([f"Replaces version {old.version} of {day(on.isoformat())}.", *parts])


def check_url(number: str, version: int) -> str:
    """What the QR of a paper leads to; the page there says current, replaced or withdrawn and nothing private."""
    return f"{settings.SITE_URL}/check/{number}/{version}/"


@dataclass(frozen=True, slots=True)
class Drawn:
    """A paper that is drawn and hashed, and not yet kept."""

    issue: Issue
    facts: str
    pdf: bytes

    @property
    def seals(self) -> dict[str, str | int]:
        """What the chain holds of it."""
        return {
            "paper": self.issue.number,
            "version": self.issue.version,
            "facts_sha256": sha256(self.facts),
            "pdf_sha256": sha256(self.pdf),
        }


def drawn(issue: Issue, facts: object, paper: Paper) -> Drawn:
    """Draw a paper once. Its facts are what is drawn from and what is kept."""
    return Drawn(issue, canonical(facts), draw(paper))


def keep_document(paper: Drawn, link: Link, *, at: datetime, by: Person) -> Document:
    """Keep a drawn paper for ever, under a link of the chain that holds its seals."""
    issue = paper.issue
    kept = Document.objects.create(
        establishment_id=link.establishment_id,
        kind=issue.kind,
        number=issue.number,
        version=issue.version,
        dated=issue.dated,
        facts=paper.facts,
        pdf=paper.pdf,
        facts_sha256=sha256(paper.facts),
        pdf_sha256=sha256(paper.pdf),
        why=issue.why,
        replaces=issue.replaces,
        link=link,
        at=at,
        by=by,
    )
    if issue.replaces is None:
        make_findable(kept.establishment, findable_paper(kept))
    return kept


def issue_document(paper: Drawn, establishment: Establishment, *, at: datetime, by: Person) -> Document:
    """Chain and keep a drawn paper; call it inside the service's transaction."""
    return keep_document(paper, add_link(establishment, canonical(paper.seals), at=at, by=by), at=at, by=by)


@transaction.atomic
def withdraw_document(document: Document, *, why: str, at: datetime, by: Person) -> Withdrawal:
    """Say that nobody should rely on a paper any more. It stays readable; its check page says withdrawn."""
    found = cleared_paper_problems(document)
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", "Say why it is withdrawn.", "why"))
    if Withdrawal.objects.filter(document=document).exists():
        found.append(blocked("withdrawn-already", f"{document} is already withdrawn.", "why"))
    refuse_if_blocked(found)
    return Withdrawal.objects.create(document=document, why=why.strip(), at=at, by=by)


def refuse_if_not_newest(document: Document, why: str) -> None:
    """A new version answers the newest one only, and says why."""
    found = []
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", "Say what changed and why.", "why"))
    if Document.objects.filter(replaces=document).exists():
        found.append(
            blocked("replaced-already", f"{document} was replaced already. Open the newest version.", "why")
        )
    if Withdrawal.objects.filter(document=document).exists():
        found.append(blocked("withdrawn-already", f"{document} is withdrawn.", "why"))
    refuse_if_blocked(found)
