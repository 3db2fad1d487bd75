"""The customer's copy of a certificate in Spanish, made from the signed facts whenever it is asked for.

Nothing of it is kept: the signed original is the English one, and the copy carries its number and fingerprint.
"""

from __future__ import annotations

from dataclasses import replace

from django.utils.translation import gettext, override

from compliance.core.paper import Paper
from compliance.core.translated import translated
from compliance.models import Document
from compliance.pdf.drawing import draw
from compliance.queries.papers import as_paper

LANGUAGE = "es"


def customers_copy(document: Document) -> Paper:
    """The same blocks, weights and fingerprint in Spanish; what people typed stays as they typed it."""
    paper = as_paper(document)
    if document.kind != Document.Kind.CERTIFICATE:
        return paper
    with override(LANGUAGE):
        said = gettext("Copy in Spanish. The signed original is the English one.")
        return replace(translated(paper, gettext, LANGUAGE), copy=said)


def customers_pdf(document: Document) -> bytes:
    """The copy as PDF."""
    return draw(customers_copy(document))
