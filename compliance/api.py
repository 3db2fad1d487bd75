"""Papers for programs: read only, the same facts as the page and the PDF."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from rest_framework import serializers
from rest_framework.generics import ListAPIView, RetrieveAPIView, get_object_or_404
from rest_framework.pagination import CursorPagination

from compliance.models import Document
from compliance.queries import paper_state
from compliance.queries.cleared import clearing_of_paper
from shop.permissions import EVERYONE, Opens


class PaperOut(serializers.Serializer[Document]):
    """A paper's number, state and hashes."""

    kind = serializers.CharField()
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

    def get_facts(self, paper: Document) -> Any:
        return json.loads(paper.facts)


class NewestFirst(CursorPagination):
    ordering = "-pk"
    page_size = 50


class Papers:
    """Only the papers of the signed-on person's own shop."""

    roles = frozenset(EVERYONE)
    permission_classes: Sequence[Any] = [Opens]
    request: Any

    def get_queryset(self) -> Any:
        rows = Document.objects.filter(establishment=self.request.user.establishment)
        return rows.defer("pdf").select_related("replaced_by", "withdrawal")


class PaperList(Papers, ListAPIView[Document]):
    serializer_class = PaperOut
    pagination_class = NewestFirst


class PaperDetail(Papers, RetrieveAPIView[Document]):
    serializer_class = PaperFactsOut

    def get_object(self) -> Document:
        found: Document = get_object_or_404(self.get_queryset(), **self.kwargs)
        return found
