"""Copies of a certificate for its customer, made from the signed facts whenever they are asked for.

Nothing of them is kept: the signed original is the English one, and a copy carries its number and fingerprint.
"""

from __future__ import annotations

from dataclasses import replace

from django.utils.translation import gettext, override

from compliance.core.paper import Paper
from compliance.core.translated import translated
from compliance.models import Document
from compliance.pdf.drawing import draw
from compliance.queries.papers import as_paper
from shop.queries import rules_on

LANGUAGE = "es"


def customers_copy(document: Document) -> Paper:
    """The same blocks, weights and fingerprint in Spanish; what people typed stays as they typed it."""
    paper = as_paper(document)
    return _in_spanish(paper) if document.kind == Document.Kind.CERTIFICATE else paper


def customers_pdf(document: Document) -> bytes:
    """The copy as PDF."""
    return draw(customers_copy(document))


def linked_copy(document: Document, language: str) -> Paper:
    """What a customer's link opens: in their language, with the card numbers that the shop's rule shows there."""
    short = not rules_on(document.establishment, document.dated).whole_card_on_link
    paper = as_paper(document, short_cards=short)
    if language == LANGUAGE:
        return _in_spanish(paper)
    if short:
        return replace(paper, copy=gettext("Copy. The signed original shows the card numbers whole."))
    return paper


def linked_pdf(document: Document, language: str) -> bytes:
    """The same as PDF; the signed bytes where the copy leaves nothing out."""
    paper = linked_copy(document, language)
    return draw(paper) if paper.copy else bytes(document.pdf)


def _in_spanish(paper: Paper) -> Paper:
    with override(LANGUAGE):
        said = gettext("Copy in Spanish. The signed original is the English one.")
        return replace(translated(paper, gettext, LANGUAGE), copy=said)
