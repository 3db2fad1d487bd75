"""Machines, scales, pumps, detectors and gauges with their newest check: read only."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django_filters import ChoiceFilter
from django_filters.rest_framework import FilterSet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from shop.api.base import Lists, reads
from shop.api.fields import MassOut
from shop.core.scopes import Scope
from shop.models import Check, Equipment
from shop.permissions import EVERYONE
from shop.queries import equipment


class CheckOut(serializers.Serializer[Check]):
    """A dated check; known and shown are zero where it was no weighing."""

    on = serializers.DateField()
    passed = serializers.BooleanField()
    against = serializers.CharField()
    known = MassOut()
    shown = MassOut()
    note = serializers.CharField()


class EquipmentOut(serializers.Serializer[Equipment]):
    """One piece as its plate says. ``division`` is the step a scale shows."""

    code = serializers.CharField()
    kind = serializers.ChoiceField(Equipment.Kind.choices)
    maker = serializers.CharField()
    model = serializers.CharField()
    serial = serializers.CharField()
    made = serializers.CharField()
    in_service_on = serializers.DateField()
    out_of_service_on = serializers.DateField(source="retirement.last_day", default=None, allow_null=True)
    does = serializers.ChoiceField(Equipment.Does.choices)
    refrigerants = serializers.SerializerMethodField()
    division = MassOut(source="*", typed=("division_text", "unit", "division"), allow_null=True)
    last_check = serializers.SerializerMethodField()

    def get_refrigerants(self, piece: Equipment) -> list[str]:
        return [name.strip() for name in piece.refrigerants.split(",") if name.strip()]

    @extend_schema_field(CheckOut(allow_null=True))
    def get_last_check(self, piece: Equipment) -> Any:
        newest = next(iter(piece.checks.all()), None)
        return CheckOut(newest).data if newest else None


class EquipmentFilter(FilterSet):
    kind = ChoiceFilter(choices=Equipment.Kind.choices)


class EquipmentList(Lists):
    """The shop's equipment, in service and out of it."""

    opens = reads(EVERYONE, Scope.PEOPLE_READ)
    gives = EquipmentOut
    model = Equipment
    filterset_class = EquipmentFilter

    def rows(self) -> QuerySet[Equipment]:
        return equipment(self.house)
