"""Whom the shop buys cans from, and the kinds of can it knows."""

from __future__ import annotations

from typing import Any

from django.db.models import F, QuerySet, Value
from django.db.models.functions import Concat
from django_filters import CharFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers

from inventory.models import ContainerType, Refrigerant, Supplier
from inventory.queries import container_types, suppliers
from inventory.services import ContainerTypeIn, SupplierIn, add_container_type, add_supplier
from shop.api.base import Lists, Writes, reads, writes
from shop.api.fields import MassOut, OneOf, ReadingIn, WholeIn
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Establishment
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER


class SupplierOut(serializers.Serializer[Supplier]):
    """A supplier; deliveries and filters name it by its name."""

    name = serializers.CharField()
    address = serializers.CharField()
    phone = serializers.CharField()


class NewSupplier(serializers.Serializer[Any]):
    """A supplier for the list."""

    name = serializers.CharField(max_length=80)
    address = serializers.CharField(max_length=200, required=False, default="", allow_blank=True)
    phone = serializers.CharField(max_length=30, required=False, default="", allow_blank=True)


class SupplierList(Lists, Writes):
    """The shop's suppliers; POST puts one on the list."""

    opens = reads((FRONT_OFFICE, OWNER), Scope.CABINET_READ) | writes(
        (FRONT_OFFICE, OWNER), Scope.CABINET_WRITE
    )
    takes = NewSupplier
    gives = SupplierOut
    model = Supplier
    example = {"name": "Sample Wholesale", "address": "2 Example Road, Copper Gulch, CO 80000"}

    def rows(self) -> QuerySet[Supplier]:
        return suppliers(self.house)

    def write(self, said: Any) -> Supplier:
        return add_supplier(SupplierIn(**said), self.house, at=now(), by=self.person)


def types_as_called(_house: Establishment) -> QuerySet[ContainerType]:
    """Kinds of can with what a request calls them, such as "R-134a 12-oz can". All shops share one list."""
    return container_types().annotate(called=Concat(F("refrigerant_id"), Value(" "), F("name")))


def chargeable(_house: Establishment) -> QuerySet[Refrigerant]:
    """The refrigerants that a can may hold."""
    return Refrigerant.objects.chargeable()


class TypeOut(serializers.Serializer[ContainerType]):
    """A kind of can as printed on it, and what its empty shell weighs."""

    called = serializers.CharField(source="__str__", help_text="What requests and answers call it.")
    refrigerant = serializers.CharField(source="refrigerant_id")
    name = serializers.CharField()
    net = MassOut(source="*", typed=("net_text", "net_unit", "net"), help_text="As printed on the label.")
    shell = MassOut()
    shell_basis = serializers.ChoiceField(
        ContainerType.Basis.choices, help_text="How the shell's weight is known."
    )
    shell_give_or_take_g = serializers.IntegerField(source="shell_spread_g")
    cans_per_case = serializers.IntegerField()
    self_sealing = serializers.BooleanField()


class NewType(serializers.Serializer[Any]):
    """A kind of can, read off one of its cans."""

    refrigerant = OneOf("code", chargeable)
    name = serializers.CharField(max_length=40, help_text="What the shop calls it, for example 12-oz can.")
    net = ReadingIn(help_text="Net weight printed on the can.")
    shell = ReadingIn(help_text="The can when empty.")
    shell_basis = serializers.ChoiceField(
        [ContainerType.Basis.WEIGHED.value, ContainerType.Basis.ESTIMATED.value]
    )
    cans_per_case = WholeIn(min_value=1, max_value=144, default=12)
    self_sealing = serializers.BooleanField(default=True)


class TypeFilter(FilterSet):
    refrigerant = CharFilter(field_name="refrigerant_id")


class TypeList(Lists, Writes):
    """The kinds of can that may be received; POST puts one on the list."""

    opens = reads(EVERYONE, Scope.CABINET_READ) | writes((FRONT_OFFICE, OWNER), Scope.CABINET_WRITE)
    takes = NewType
    gives = TypeOut
    model = ContainerType
    filterset_class = TypeFilter
    example = {
        "refrigerant": "R-134a",
        "name": "30-oz can",
        "net": {"value": "30", "unit": "oz"},
        "shell": {"value": "210", "unit": "g"},
        "shell_basis": "weighed",
    }

    def rows(self) -> QuerySet[ContainerType]:
        return container_types()

    def write(self, said: Any) -> ContainerType:
        kind = ContainerTypeIn(**said | {"refrigerant": said["refrigerant"].code})
        return add_container_type(kind, at=now(), by=self.person)
