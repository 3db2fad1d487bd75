"""Reads about papers and the chain."""

from __future__ import annotations

from dataclasses import replace

from django.db.models import QuerySet

from compliance.core.binder import binder
from compliance.core.binder_facts import BinderFacts
from compliance.core.case_file import case_file
from compliance.core.case_file_facts import CaseFileFacts
from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.customers_copy import with_short_cards
from compliance.core.paper import Paper
from compliance.core.shipment import ShipmentFacts, shipment_paper
from compliance.core.statement import StatementFacts, statement_paper
from compliance.core.usage_report import usage_report
from compliance.core.usage_report_facts import UsageReportFacts
from compliance.models import Document, Link
from shop.core.canonical import rebuild
from shop.models import Establishment


def documents(establishment: Establishment, kind: str) -> QuerySet[Document]:
    """Papers of one kind, newest first, without their bytes."""
    return (
        Document.objects.filter(establishment=establishment, kind=kind)
        .defer("pdf", "facts")
        .select_related(
            "by", "replaced_by", "withdrawal", "certificate__closing__job__vehicle", "usage_report"
        )
    )


def current_document(establishment: Establishment, number: str) -> Document | None:
    """The newest version of a paper."""
    return Document.objects.filter(establishment=establishment, number=number).order_by("-version").first()


def paper_state(document: Document) -> str:
    """ "current", "replaced" or "withdrawn"; nothing else is said of a paper to a stranger."""
    if hasattr(document, "withdrawal"):
        return "withdrawn"
    if hasattr(document, "replaced_by"):
        return "replaced"
    return "current"


def chain(establishment: Establishment) -> QuerySet[Link]:
    return Link.objects.filter(establishment=establishment).order_by("place")


def as_paper(document: Document, *, short_cards: bool = False) -> Paper:
    """The paper a document draws, from its stored facts. Its fingerprint is that of the facts as they were stored:
    facts that were kept before a field was added would hash differently now. ``short_cards`` is for a customer's copy
    of a certificate."""
    return replace(_drawn_from(document, short_cards=short_cards), fingerprint=document.fingerprint)


def certificate_of(document: Document) -> CertificateFacts:
    """The facts of a certificate as they were signed."""
    return rebuild(CertificateFacts, document.facts)


def _drawn_from(document: Document, *, short_cards: bool) -> Paper:
    if document.kind == Document.Kind.CERTIFICATE:
        facts = certificate_of(document)
        return certificate(with_short_cards(facts) if short_cards else facts)
    if document.kind == Document.Kind.BINDER:
        return binder(rebuild(BinderFacts, document.facts))
    if document.kind == Document.Kind.CASE_FILE:
        return case_file(rebuild(CaseFileFacts, document.facts))
    if document.kind == Document.Kind.SHIPMENT:
        return shipment_paper(rebuild(ShipmentFacts, document.facts))
    if document.kind == Document.Kind.STATEMENT:
        return statement_paper(rebuild(StatementFacts, document.facts))
    return usage_report(rebuild(UsageReportFacts, document.facts))
