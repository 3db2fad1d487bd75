"""The refrigerant book for programs: read only: its rows, and its sums on a day."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import F, QuerySet
from django.http import Http404
from django.utils import timezone
from django_filters import CharFilter, ChoiceFilter, DateFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers

from inventory.core.ledger import PlaceKind, Purpose
from inventory.models import Container, MonthClose, Movement
from inventory.queries import book, flows_up_to, held_by, held_on
from shop.api.base import Lists, Shows, reads
from shop.api.fields import MassOut
from shop.core.scopes import Scope
from shop.http import now
from shop.permissions import EVERYONE


class MovementOut(serializers.Serializer[Any]):
    """One movement from place to place, each by its code; its mass is reckoned, so it is told in exact grams."""

    id = serializers.IntegerField()
    entry = serializers.IntegerField(source="entry_id")
    on = serializers.DateField()
    source = serializers.CharField(source="source_id")  # type: ignore[assignment]
    target = serializers.CharField(source="target_id")
    purpose = serializers.CharField()
    refrigerant = serializers.CharField(source="refrigerant_id")
    mass = MassOut()
    text = serializers.CharField()


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

    def rows(self) -> QuerySet[Any]:
        columns = (
            "pk",
            "id",
            "entry_id",
            "on",
            "source_id",
            "target_id",
            "purpose",
            "refrigerant_id",
            "mass",
        )
        told: QuerySet[Any] = book(self.house).select_related(None).values(*columns, text=F("entry__text"))
        return told


class FlowOut(serializers.Serializer[Any]):
    """Everything that moved for one purpose from places of one kind to places of another."""

    refrigerant = serializers.CharField()
    purpose = serializers.ChoiceField([one.value for one in Purpose])
    source = serializers.ChoiceField([one.value for one in PlaceKind])  # type: ignore[assignment]
    target = serializers.ChoiceField([one.value for one in PlaceKind])
    mass = MassOut()
    movements = serializers.IntegerField()


class HeldOut(serializers.Serializer[Any]):
    """What the shop holds of one refrigerant."""

    refrigerant = serializers.CharField()
    in_cans = MassOut()
    in_cylinders = MassOut()


class BookDayOut(serializers.Serializer[Any]):
    """The book at the end of a day: what is held, and every sum since it began."""

    day = serializers.DateField()
    closed = serializers.BooleanField(help_text="The month is closed: nothing more is booked on this day.")
    held = HeldOut(many=True)
    flows = FlowOut(many=True)


class BookDay(Shows):
    """The refrigerant book added up to the end of a day, from the last closed month's balance and the tail after it."""

    opens = reads(EVERYONE, Scope.BOOK_READ)
    gives = BookDayOut
    model = Movement

    def thing(self, day: str) -> Any:
        on = past_day(day)
        flows = flows_up_to(self.house, on)
        gases = sorted({gas for gas, *_ in flows})
        return {
            "day": on,
            "closed": MonthClose.objects.filter(establishment=self.house, last_day__gte=on).exists(),
            "held": [
                {
                    "refrigerant": gas,
                    "in_cans": held_by(flows, gas, PlaceKind.CAN),
                    "in_cylinders": held_by(flows, gas, PlaceKind.CYLINDER),
                }
                for gas in gases
            ],
            "flows": [
                dict(zip(("refrigerant", "purpose", "source", "target"), key, strict=True))
                | {"mass": mass, "movements": number}
                for key, (mass, number) in sorted(flows.items())
            ],
        }


def past_day(text: str) -> date:
    """A day of an address, today or before; raises ``Http404`` for anything else."""
    try:
        day = date.fromisoformat(text)
    except ValueError as unread:
        raise Http404 from unread
    if day > timezone.localdate(now()):
        raise Http404
    return day


class HeldThenOut(serializers.Serializer[Container]):
    """A can or cylinder, and what the book had in it at the end of that day."""

    container = serializers.CharField(source="code")
    kind = serializers.ChoiceField([PlaceKind.CAN.value, PlaceKind.CYLINDER.value])
    refrigerant = serializers.CharField(source="refrigerant_id")
    held = MassOut(source="held_then")


class HeldFilter(FilterSet):
    kind = ChoiceFilter(choices=[("can", "can"), ("cylinder", "cylinder")])
    refrigerant = CharFilter(field_name="refrigerant_id")


class BookDayContainers(Lists):
    """The containers that held something at the end of a day, by the book."""

    opens = reads(EVERYONE, Scope.BOOK_READ)
    gives = HeldThenOut
    model = Container
    filterset_class = HeldFilter

    def rows(self, day: str) -> QuerySet[Container]:
        return held_on(self.house, past_day(day))


class MonthOut(serializers.Serializer[MonthClose]):
    """The book up to this day is closed; its sums stand under the day."""

    last_day = serializers.DateField()
    closed_at = serializers.DateTimeField(source="at")
    closed_by = serializers.CharField(source="by.name")


class MonthList(Lists):
    """The months that a signed usage report closed."""

    opens = reads(EVERYONE, Scope.BOOK_READ)
    gives = MonthOut
    model = MonthClose

    def rows(self) -> QuerySet[MonthClose]:
        return MonthClose.objects.filter(establishment=self.house).select_related("by")
