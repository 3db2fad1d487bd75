"""The service certificate: issued when a job closes, reissued with a reason, never edited."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from django.db import transaction

from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.job import JobFacts
from compliance.models import Certificate, Closing, Document
from compliance.queries.certificate_facts import certificate_facts
from compliance.queries.sheets import Sheet
from compliance.services.documents import Issue, check_url, issue_document, refuse_if_not_newest
from shop.core.canonical import rebuild
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.models import Person
from shop.services import next_number

if TYPE_CHECKING:
    from compliance.services.closing import CloseIn


def issue_certificate(
    closing: Closing,
    sheet: Sheet,
    facts: JobFacts,
    close: CloseIn,
    findings: Sequence[Finding],
    *,
    at: datetime,
    by: Person,
) -> Document:
    """Version 1 of a job's certificate; part of closing it."""
    establishment = sheet.job.establishment
    number = f"C{closing.on:%y}-{next_number(f'C{closing.on:%y}', establishment, by=by):04d}"
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
    issue = Issue(Document.Kind.CERTIFICATE, number, 1, closing.on)
    document = issue_document(issue, printed, lambda: certificate(printed), establishment, at=at, by=by)
    Certificate.objects.create(document=document, closing=closing)
    return document


@transaction.atomic
def reissue_certificate(document: Document, *, customer: str, why: str, at: datetime, by: Person) -> Document:
    """A new version with the customer's name put right; the one before it is named as replaced and stays readable.

    Weights, dates and doers of a closed job are not changed here.
    """
    refuse_if_not_newest(document, why)
    if not customer.strip():
        refuse_if_blocked([blocked("customer-empty", "Type whose car it is.", "customer")])
    old = rebuild(CertificateFacts, document.facts)
    version = document.version + 1
    printed = replace(
        old,
        version=version,
        car=replace(old.car, customer=customer.strip()),
        check_url=check_url(document.number, version),
        replaces=f"Replaces version {document.version} of {document.at:%b} {document.at.day}. {why.strip()}",
    )
    issue = Issue(Document.Kind.CERTIFICATE, document.number, version, document.dated, why.strip(), document)
    new = issue_document(issue, printed, lambda: certificate(printed), document.establishment, at=at, by=by)
    Certificate.objects.create(document=new, closing=document.certificate.closing)
    return new
