"""The refrigerant book for programs: read only, the same rows as the page."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.generics import ListAPIView
from rest_framework.pagination import CursorPagination

from inventory.models import Movement
from inventory.queries import book
from shop.permissions import EVERYONE, Opens


class MovementOut(serializers.Serializer[Movement]):
    """One movement: places by code, mass in whole micrograms."""

    id = serializers.IntegerField()
    entry = serializers.IntegerField(source="entry_id")
    on = serializers.DateField()
    source = serializers.CharField(source="source_id")  # type: ignore[assignment]
    target = serializers.CharField(source="target_id")
    purpose = serializers.CharField()
    refrigerant = serializers.CharField(source="refrigerant_id")
    mass_ug = serializers.IntegerField(source="mass.ug")
    text = serializers.CharField(source="entry.text")


class NewestFirst(CursorPagination):
    ordering = "-pk"
    page_size = 50


class BookList(ListAPIView[Movement]):
    """The refrigerant book of the signed-on person's shop, newest first; ``?refrigerant=R-134a`` narrows it."""

    roles = frozenset(EVERYONE)
    permission_classes = [Opens]
    serializer_class = MovementOut
    pagination_class = NewestFirst

    def get_queryset(self) -> Any:
        rows = book(self.request.user.establishment)  # type: ignore[union-attr]
        wanted = self.request.query_params.get("refrigerant")
        return rows.filter(refrigerant=wanted) if wanted else rows
