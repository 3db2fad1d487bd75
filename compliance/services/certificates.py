"""The service certificate: issued when a job closes, never edited. Its next versions come of correction slips."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from compliance.core.certificate import certificate
from compliance.core.job import JobFacts
from compliance.core.packs.words import JobRules
from compliance.models import Certificate, Closing, Document, Link
from compliance.queries.certificate_facts import certificate_facts
from compliance.queries.packs import asked_facts
from compliance.queries.sheets import Sheet
from compliance.services.documents import (
    Drawn,
    Issue,
    check_url,
    drawn,
    keep_document,
)
from shop.core.findings import Finding
from shop.models import Person
from shop.services import next_number

if TYPE_CHECKING:
    from compliance.services.closing import CloseIn


def drawn_certificate(
    sheet: Sheet,
    facts: JobFacts,
    close: CloseIn,
    findings: Sequence[Finding],
    rules: JobRules,
    *,
    on: date,
    at: datetime,
    by: Person,
) -> Drawn:
    """Version 1 of a job's certificate, numbered and drawn; part of closing the job."""
    number = f"C{on:%y}-{next_number(f'C{on:%y}', sheet.job.establishment, by=by):04d}"
    printed = certificate_facts(
        sheet,
        facts,
        findings,
        number=number,
        check_url=check_url(number, 1),
        stop=(close.stopped.strip(), close.state_now.strip(), close.choice.strip())
        if close.stopped.strip()
        else None,
        at=at,
        by=by,
    )
    printed = replace(printed, rules_looked_at=str(rules.names), asked=asked_facts(sheet, rules))
    return drawn(Issue(Document.Kind.CERTIFICATE, number, 1, on), printed, certificate(printed))


def keep_certificate(paper: Drawn, closing: Closing, link: Link, *, at: datetime, by: Person) -> Document:
    """Keep a drawn certificate beside the closing that it speaks of, under the closing's own link."""
    document = keep_document(paper, link, at=at, by=by)
    Certificate.objects.create(document=document, closing=closing)
    return document
