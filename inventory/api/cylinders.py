"""Recovery cylinders: what is stamped on them, and the room that is left."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import QuerySet
from django.http import Http404
from django.utils import timezone
from django_filters import CharFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers

from inventory.models import Container, Refrigerant
from inventory.queries import can_be_shipped, cylinder_room, gas_in
from inventory.services import CylinderIn, add_cylinder
from shop.api.base import Door, Lists, Shows, Writes, reads, writes
from shop.api.fields import DayIn, MassOut, OneOf, ReadingIn, Seen
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Establishment
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER
from shop.queries import rules_on


class RoomOut(serializers.Serializer[Any]):
    """How full a cylinder is against the smallest of its limits. ``left`` allows for what its scale cannot show."""

    held = MassOut()
    limit = MassOut()
    left = MassOut()
    give_or_take = MassOut(source="doubt")
    percent = serializers.IntegerField(help_text="Of the limit, rounded up.")
    over_the_limit = serializers.BooleanField(source="is_over")
    fill_until = serializers.DateField(
        source="good_until",
        help_text="The last day on which it may be filled, by its stamp and the shop's rule.",
    )


class CylinderOut(serializers.Serializer[Container]):
    """A recovery cylinder in use with its stamps."""

    code = serializers.CharField()
    refrigerant = serializers.SerializerMethodField(help_text="unknown once it was marked as mixed.")
    serial = serializers.CharField(source="cylinder.serial")
    tare = MassOut(source="cylinder", typed=("tare_text", "tare_unit", "tare"))
    water = MassOut(
        source="cylinder",
        typed=("water_text", "water_unit", "water"),
        help_text="Water capacity, stamped WC.",
    )
    requalified_on = serializers.DateField(source="cylinder.requalified_on")
    book = MassOut()
    last_weighed = MassOut(source="*", typed=("last_text", "last_unit", "last_gross"), allow_null=True)
    on_job = serializers.CharField(source="waits_for", allow_null=True)
    on_hold = serializers.CharField(source="held_why", allow_null=True, help_text="Why nobody is to use it.")
    room = RoomOut()

    def get_refrigerant(self, cylinder: Container) -> str:
        return gas_in(cylinder)


class CylinderFilter(FilterSet):
    refrigerant = CharFilter(field_name="refrigerant_id")


def all_refrigerants(_house: Establishment) -> QuerySet[Refrigerant]:
    """The closed list; a cylinder may also hold what nobody can name."""
    return Refrigerant.objects.all()


class NewCylinder(serializers.Serializer[Any]):
    """A recovery cylinder with its stamps, and what it weighs today."""

    code = serializers.RegexField(r"^[A-Z0-9][A-Z0-9-]{0,11}$", help_text="What is written on it here.")
    refrigerant = OneOf("code", all_refrigerants)
    tare = ReadingIn(help_text="Stamped TW.")
    water = ReadingIn(help_text="Water capacity, stamped WC.")
    gross = ReadingIn(help_text="What it weighs today, without hoses.")
    requalified_on = DayIn(help_text="Last requalification, as stamped.")
    serial = serializers.CharField(max_length=40, default="", allow_blank=True)
    seen = Seen()


class Cylinders(Door):
    """What cylinders have in common: the room of each, under the rules of today."""

    model = Container
    gives = CylinderOut

    def in_use(self) -> QuerySet[Container]:
        return can_be_shipped(self.house)

    def with_room(self, cylinders: list[Container]) -> list[Container]:
        rules = rules_on(self.house, self.today)
        for one in cylinders:
            one.room = cylinder_room(one, rules)  # type: ignore[attr-defined]
        return cylinders

    def one(self, code: str) -> Container:
        """A cylinder in use, or ``Http404``."""
        found = self.with_room(list(self.in_use().filter(pk=code)))
        if not found:
            raise Http404
        return found[0]

    @property
    def today(self) -> date:
        return timezone.localdate(now())


class CylinderList(Cylinders, Lists, Writes):
    """Recovery cylinders in use; POST takes one into the book with what is in it today."""

    opens = reads(EVERYONE, Scope.CABINET_READ) | writes((FRONT_OFFICE, OWNER), Scope.CABINET_WRITE)
    takes = NewCylinder
    filterset_class = CylinderFilter
    example = {
        "code": "RC-31",
        "refrigerant": "R-134a",
        "tare": {"value": "17.1", "unit": "lb"},
        "water": {"value": "26.2", "unit": "lb"},
        "gross": {"value": "17.1", "unit": "lb"},
        "requalified_on": "2024-11-01",
    }

    def rows(self) -> QuerySet[Container]:
        return self.in_use()

    def on_page(self, rows: list[Container]) -> list[Container]:
        self.with_room(rows)
        return rows

    def write(self, said: Any) -> Container:
        names = ("code", "tare", "water", "gross", "requalified_on", "serial")
        cylinder = CylinderIn(refrigerant=said["refrigerant"].code, **{name: said[name] for name in names})
        made = add_cylinder(cylinder, self.house, seen=said["seen"], on=self.today, at=now(), by=self.person)
        return self.one(made.code)


class CylinderDetail(Cylinders, Shows):
    """One recovery cylinder in use."""

    opens = reads(EVERYONE, Scope.CABINET_READ)

    def thing(self, cylinder: str) -> Container:
        return self.one(cylinder)
