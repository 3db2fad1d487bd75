"""Counts of the cabinet: what was found, what the book expected, and a new one."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django_filters import BooleanFilter, CharFilter, DateFilter
from django_filters.rest_framework import FilterSet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from compliance.api.counting import Counted, counted_in
from compliance.queries.waiting import waiting_for_jobs
from compliance.services import count_cabinet
from inventory.models import Count, CountLeftOut, CountLine
from inventory.queries import CountSum, count_before, count_sums, counts, limit_of, shelves
from shop.api.base import Door, Lists, Shows, Writes, reads, writes
from shop.api.fields import MassOut, several
from shop.api.refusals import fields_as, renamed
from shop.core.scopes import Scope
from shop.http import now
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER


class CountSumOut(serializers.Serializer[CountSum]):
    """A count of one refrigerant, added up; difference is found less expected."""

    refrigerant = serializers.CharField()
    expected = MassOut()
    found = MassOut()
    difference = MassOut()
    give_or_take_g = serializers.IntegerField(
        source="estimated_g", help_text="How far it may be off by shells that were only estimated."
    )


class CountLineOut(serializers.Serializer[CountLine]):
    """One container at a count."""

    container = serializers.CharField(source="container_id")
    refrigerant = serializers.CharField(source="container.refrigerant_id")
    how = serializers.ChoiceField(CountLine.How.choices)
    expected = MassOut(help_text="By the book, or what it will have when the open job closes.")
    found = MassOut()
    difference = MassOut()
    give_or_take_g = serializers.IntegerField(source="estimated_g")


class LeftOutOut(serializers.Serializer[CountLeftOut]):
    """A container that the count did not ask for, and why."""

    container = serializers.CharField(source="container_id")
    why = serializers.CharField()


class CountRowOut(serializers.Serializer[Count]):
    """A signed count by refrigerant. An opening count has no difference: its book began with it."""

    id = serializers.IntegerField()
    on = serializers.DateField()
    opening = serializers.BooleanField()
    undone = serializers.SerializerMethodField(help_text="An opening count that was taken back.")
    counted_by = serializers.CharField(source="by.name")
    sums = serializers.SerializerMethodField()

    def get_undone(self, count: Count) -> bool:
        return hasattr(count, "imported") and hasattr(count.imported, "undone")

    @extend_schema_field(CountSumOut(many=True))
    def get_sums(self, count: Count) -> Any:
        return several(CountSumOut, count_sums(count)).data


class CountLimitOut(serializers.Serializer[Any]):
    """The shop's limit for a difference, and what was handled since the count before."""

    refrigerant = serializers.CharField()
    handled = MassOut()
    limit = MassOut(source="mass")


class CountOut(CountRowOut):
    """A signed count, container by container."""

    lines = CountLineOut(many=True)
    left_out = LeftOutOut(many=True)
    limits = serializers.SerializerMethodField()

    @extend_schema_field(CountLimitOut(many=True))
    def get_limits(self, count: Count) -> Any:
        gases = [one.refrigerant for one in count_sums(count)]
        limits = [(gas, limit_of(count, count_before(count, gas), gas)) for gas in gases]
        told = [{"refrigerant": gas, "handled": one.handled, "mass": one.mass} for gas, one in limits]
        return several(CountLimitOut, told).data


class CountFilter(FilterSet):
    since = DateFilter(field_name="on", lookup_expr="gte")
    until = DateFilter(field_name="on", lookup_expr="lte")
    opening = BooleanFilter(field_name="opening")
    refrigerant = CharFilter(method="of", label="Counts that asked for this refrigerant")

    def of(self, rows: QuerySet[Count], name: str, refrigerant: str) -> QuerySet[Count]:
        lines = CountLine.objects.filter(container__refrigerant=refrigerant)
        return rows.filter(pk__in=lines.values("count"))


class Counts(Door):
    """An address of counts."""

    model = Count
    gives = CountOut

    def one(self, pk: int) -> Count:
        """A count of this shop, or ``Http404``."""
        return get_object_or_404(counts(self.house).select_related("establishment"), pk=pk)


class CountList(Counts, Lists, Writes):
    """Signed counts, newest first; POST signs one: each difference is booked as a difference."""

    opens = reads(EVERYONE, Scope.CABINET_READ) | writes((FRONT_OFFICE, OWNER), Scope.CABINET_WRITE)
    takes = Counted
    row = CountRowOut
    filterset_class = CountFilter
    example = {
        "refrigerant": "R-1234yf",
        "sealed": [],
        "weighed": [{"container": "RC-05", "scale": "SC-1", "reading": {"value": "7757", "unit": "g"}}],
        "rest": "leave out",
    }

    def rows(self) -> QuerySet[Count]:
        return counts(self.house)

    def write(self, said: Any) -> Count:
        at, house = now(), self.house
        count, names = counted_in(said, shelves(house), waiting_for_jobs(house), on=timezone.localdate(at))
        with fields_as(renamed(names)):
            made = count_cabinet(count, house, at=at, by=self.person)
        return self.one(made.pk)


class CountDetail(Counts, Shows):
    """One count with its differences."""

    opens = reads(EVERYONE, Scope.CABINET_READ)

    def thing(self, count: int) -> Count:
        return self.one(count)
