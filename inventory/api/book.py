"""The refrigerant book for programs: read only, the same rows as the page."""

from __future__ import annotations

from django.db.models import QuerySet
from django_filters import CharFilter, DateFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers

from inventory.models import Movement
from inventory.queries import book
from shop.api.base import Lists, reads
from shop.api.fields import MassOut
from shop.core.scopes import Scope
from shop.permissions import EVERYONE


class MovementOut(serializers.Serializer[Movement]):
    """One movement from place to place, each by its code; its mass is reckoned, so it is told in exact grams."""

    id = serializers.IntegerField()
    entry = serializers.IntegerField(source="entry_id")
    on = serializers.DateField()
    source = serializers.CharField(source="source_id")  # type: ignore[assignment]
    target = serializers.CharField(source="target_id")
    purpose = serializers.CharField()
    refrigerant = serializers.CharField(source="refrigerant_id")
    mass = MassOut()
    text = serializers.CharField(source="entry.text")


class BookFilter(FilterSet):
    refrigerant = CharFilter(field_name="refrigerant_id")
    place = CharFilter(method="at", label="Source or target, by code")
    since = DateFilter(field_name="on", lookup_expr="gte")
    until = DateFilter(field_name="on", lookup_expr="lte")

    def at(self, rows: QuerySet[Movement], name: str, code: str) -> QuerySet[Movement]:
        return rows.filter(source=code) | rows.filter(target=code)


class BookList(Lists):
    """The refrigerant book, newest first."""

    opens = reads(EVERYONE, Scope.BOOK_READ)
    gives = MovementOut
    model = Movement
    filterset_class = BookFilter

    def rows(self) -> QuerySet[Movement]:
        return book(self.house)
