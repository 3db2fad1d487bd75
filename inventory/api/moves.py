"""Where containers stand: spots, and moves between them that both ends agree on."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django_filters import BooleanFilter, CharFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail

from inventory.models import Move, Spot
from inventory.queries import in_the_cabinet, on_the_way, spots
from inventory.services import MoveIn, add_spot, confirm_arrival, move_containers
from shop.api.base import Lists, Writes, reads, writes
from shop.api.fields import OneOf, SeveralOf
from shop.core.scopes import Scope
from shop.http import now
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER


class SpotOut(serializers.Serializer[Spot]):
    """A shelf, a van, a bay or a spot outside that the shop has a name for."""

    name = serializers.CharField()
    kind = serializers.ChoiceField(Spot.Kind.choices)


class NewSpot(serializers.Serializer[Any]):
    """A name for a spot where containers stand."""

    name = serializers.CharField(max_length=40)
    kind = serializers.ChoiceField(Spot.Kind.choices)


class SpotList(Lists, Writes):
    """The spots that the shop has names for; POST names one."""

    opens = reads(EVERYONE, Scope.CABINET_READ) | writes((FRONT_OFFICE, OWNER), Scope.CABINET_WRITE)
    takes = NewSpot
    gives = SpotOut
    model = Spot
    example = {"name": "top shelf", "kind": "shelf"}

    def rows(self) -> QuerySet[Spot]:
        return spots(self.house)

    def write(self, said: Any) -> Spot:
        return add_spot(**said, establishment=self.house, at=now(), by=self.person)


class MoveOut(serializers.Serializer[Move]):
    """A container that was given off for a spot; on the way until somebody there has it."""

    container = serializers.CharField(source="container_id")
    to = serializers.CharField(source="to.name")
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")
    arrived_at = serializers.DateTimeField(source="arrived.at", default=None, allow_null=True)
    arrived_by = serializers.CharField(source="arrived.by.name", default=None, allow_null=True)


class MovesOut(serializers.Serializer[Any]):
    """The moves that were written, one for each container."""

    moves = MoveOut(many=True)


class Moved(serializers.Serializer[Any]):
    """Containers that go to a spot."""

    containers = SeveralOf("pk", in_the_cabinet, allow_empty=False, max_length=200)
    to = OneOf("name", spots)
    at_once = serializers.BooleanField(
        default=False, help_text="Who moves them puts them down there too; else they are on the way."
    )


class MoveFilter(FilterSet):
    container = CharFilter(field_name="container_id")
    to = CharFilter(field_name="to__name")
    arrived = BooleanFilter(field_name="arrived", lookup_expr="isnull", exclude=True)


class MoveList(Lists, Writes):
    """Every move, newest first; POST gives containers off for a spot. The book does not change by it."""

    opens = reads(EVERYONE, Scope.CABINET_READ) | writes(EVERYONE, Scope.CABINET_WRITE)
    takes = Moved
    gives = MovesOut
    row = MoveOut
    model = Move
    filterset_class = MoveFilter
    example = {"containers": ["K-0007", "K-0008"], "to": "van 2", "at_once": True}

    def rows(self) -> QuerySet[Move]:
        mine = Move.objects.filter(container__establishment=self.house)
        return mine.select_related("to", "by", "arrived__by")

    def write(self, said: Any) -> Any:
        move = MoveIn(said["containers"], said["to"], at_once=said["at_once"])
        made = move_containers(move, at=now(), by=self.person)
        return {"moves": self.rows().filter(pk__in=[one.pk for one in made]).order_by("pk")}


class Arrived(serializers.Serializer[Any]):
    """A container that was on the way and is there now."""

    container = serializers.CharField(max_length=24)


class ArrivalList(Lists, Writes):
    """Containers on the way; POST says that one of them has arrived where it was given off for."""

    opens = reads(EVERYONE, Scope.CABINET_READ) | writes(EVERYONE, Scope.CABINET_WRITE)
    takes = Arrived
    gives = MoveOut
    model = Move
    example = {"container": "K-0007"}

    def rows(self) -> QuerySet[Move]:
        return on_the_way(self.house).select_related("to", "by", "arrived__by")

    def write(self, said: Any) -> Move:
        move = self.rows().filter(container=said["container"]).first()
        if move is None:
            sentence = _("%(container)s is not on the way.") % {"container": said["container"]}
            raise serializers.ValidationError({"container": [ErrorDetail(sentence, "unknown")]})
        move.arrived = confirm_arrival(move, at=now(), by=self.person)
        return move
