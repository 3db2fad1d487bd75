"""Papers for programs: read only, the same facts as the page and the PDF."""

from __future__ import annotations

import json
from typing import Any

from django.db.models import Q, QuerySet
from django.shortcuts import get_object_or_404
from django_filters import CharFilter, ChoiceFilter, DateFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers
from rest_framework.renderers import BaseRenderer, JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from compliance.models import Document
from compliance.queries import paper_state
from compliance.queries.cleared import clearing_of_paper
from shop.api.base import Door, Lists, Shows, reads
from shop.core.scopes import Scope
from shop.permissions import EVERYONE


class PaperOut(serializers.Serializer[Document]):
    """A paper's number, state and hashes."""

    kind = serializers.ChoiceField(Document.Kind.choices)
    number = serializers.CharField()
    version = serializers.IntegerField()
    dated = serializers.DateField()
    state = serializers.SerializerMethodField()
    facts_sha256 = serializers.CharField()
    pdf_sha256 = serializers.CharField()

    def get_state(self, paper: Document) -> str:
        return paper_state(paper)


class PaperFactsOut(PaperOut):
    """The same with the facts that were signed; masses in whole micrograms."""

    facts = serializers.SerializerMethodField()
    cleared = serializers.SerializerMethodField()

    def get_cleared(self, paper: Document) -> bool:
        """The customer is no longer in the facts, so they do not hash to what was signed."""
        return clearing_of_paper(paper) is not None

    def get_facts(self, paper: Document) -> dict[str, Any]:
        said: dict[str, Any] = json.loads(paper.facts)
        return said


class PaperFilter(FilterSet):
    kind = ChoiceFilter(choices=Document.Kind.choices)
    since = DateFilter(field_name="dated", lookup_expr="gte")
    until = DateFilter(field_name="dated", lookup_expr="lte")
    job = CharFilter(method="of_job", label="A job's certificates and case files, by its number")

    def of_job(self, rows: QuerySet[Document], name: str, number: str) -> QuerySet[Document]:
        mine = Q(certificate__closing__job__number=number) | Q(case_file__job__number=number)
        return rows.filter(mine)


class Papers(Door):
    """Only the papers of one's own shop."""

    opens = reads(EVERYONE, Scope.PAPERS_READ)

    model = Document

    def rows(self) -> QuerySet[Document]:
        rows = Document.objects.filter(establishment=self.house)
        return rows.defer("pdf").select_related("replaced_by", "withdrawal")


class PaperList(Papers, Lists):
    """Every paper, newest first."""

    gives = PaperOut
    filterset_class = PaperFilter


class PaperDetail(Papers, Shows):
    """One version of a paper, with its facts."""

    gives = PaperFactsOut

    def thing(self, **named: Any) -> Document:
        found: Document = get_object_or_404(self.rows(), **named)
        return found


class Pdf(BaseRenderer):
    media_type = "application/pdf"
    format = "pdf"
    charset = None
    render_style = "binary"

    def render(self, data: Any, accepted_media_type: Any = None, renderer_context: Any = None) -> Any:
        return data if isinstance(data, bytes) else JSONRenderer().render(data)


class PaperPdf(Papers):
    """One version of a paper, as the PDF whose hash is on record."""

    media = Pdf.media_type
    renderer_classes = (Pdf,)

    def get(self, request: Request, **named: Any) -> Response:
        return Response(bytes(get_object_or_404(self.rows().defer(None), **named).pdf))
