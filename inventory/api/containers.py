"""Cans and cylinders: what the book and the scale say of each, and one more weigh ticket."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django_filters import BooleanFilter, CharFilter, ChoiceFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers

from inventory.core.weighing import Style
from inventory.models import Container, WeighTicket
from inventory.queries import as_put_right, containers
from inventory.services import TicketIn, weigh_in_cabinet
from shop.api.base import Lists, Shows, Writes, reads, writes
from shop.api.fields import MassOut, OneOf, ReadingIn, Seen, on_scale
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Equipment, Establishment
from shop.permissions import EVERYONE
from shop.queries import in_service


class ContainerOut(serializers.Serializer[Container]):
    """A container by its number; ``book`` is what the refrigerant book says it holds."""

    code = serializers.CharField()
    kind = serializers.ChoiceField(["can", "cylinder"])
    refrigerant = serializers.CharField(source="refrigerant_id")
    lot = serializers.CharField(source="lot_now")
    came_on = serializers.DateField()
    book = MassOut()
    last_weighed = MassOut(source="*", typed=("last_text", "last_unit", "last_gross"), allow_null=True)
    on_job = serializers.CharField(
        source="waits_for", allow_null=True, help_text="The open job that speaks for it."
    )
    ended = serializers.CharField(
        source="fate.what", default=None, allow_null=True, help_text="What became of it when its use ended."
    )


class TicketOut(serializers.Serializer[WeighTicket]):
    """A weigh ticket as it stands, put right by slips where there are any."""

    number = serializers.IntegerField()
    container = serializers.CharField(source="container_id")
    scale = serializers.CharField(source="scale.code")
    reading = MassOut()
    style = serializers.ChoiceField([one.value for one in Style])  # type: ignore[assignment]
    origin = serializers.CharField()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class ContainerFilter(FilterSet):
    kind = ChoiceFilter(choices=[("can", "can"), ("cylinder", "cylinder")])
    refrigerant = CharFilter(field_name="refrigerant_id")
    in_use = BooleanFilter(field_name="fate", lookup_expr="isnull", label="Whether its use has not ended")


class ContainerList(Lists):
    """Every container that the shop ever had, the highest number first."""

    opens = reads(EVERYONE, Scope.CABINET_READ)
    gives = ContainerOut
    model = Container
    filterset_class = ContainerFilter

    def rows(self) -> QuerySet[Container]:
        return containers(self.house).select_related("fate").prefetch_related("lots")


class ContainerDetail(Shows):
    """One container."""

    opens = reads(EVERYONE, Scope.CABINET_READ)
    gives = ContainerOut

    def thing(self, code: str) -> Container:
        return get_object_or_404(containers(self.house).select_related("fate"), pk=code)


def scales(house: Establishment) -> QuerySet[Equipment]:
    """The scales in service today."""
    here = in_service(house, timezone.localdate(now()), Equipment.Kind.SCALE)
    return here.select_related(None).prefetch_related(None)


class WeighIn(serializers.Serializer[Any]):
    """What the scale said about a container that stands in the cabinet."""

    scale = OneOf("code", scales)
    reading = ReadingIn()
    style = serializers.ChoiceField([Style.BARE.value, Style.TAP.value], default=Style.BARE.value)  # type: ignore[assignment]
    seen = Seen()

    def validate(self, attrs: Any) -> Any:
        return attrs | {"reading": on_scale(attrs["scale"], attrs["reading"])}


class Tickets(Lists, Writes):
    """The weigh tickets of one container, newest first; POST weighs it on the shelf and moves nothing in the book."""

    opens = reads(EVERYONE, Scope.CABINET_READ) | writes(EVERYONE, Scope.CABINET_WRITE)
    takes = WeighIn
    gives = TicketOut
    model = WeighTicket
    example = {"scale": "SC-1", "reading": {"value": "466", "unit": "g"}, "style": "bare can"}

    def _container(self, code: str) -> Container:
        return get_object_or_404(Container, establishment=self.house, pk=code)

    def rows(self, code: str) -> QuerySet[WeighTicket]:
        tickets = WeighTicket.objects.filter(container=self._container(code), set_aside=None)
        return tickets.select_related("scale", "by")

    def on_page(self, rows: list[WeighTicket]) -> None:
        as_put_right(rows)

    def write(self, said: Any, code: str) -> WeighTicket:
        ticket = TicketIn(said["scale"], said["reading"], Style(said["style"]))
        return weigh_in_cabinet(self._container(code), ticket, seen=said["seen"], at=now(), by=self.person)
