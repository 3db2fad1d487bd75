"""Cans and cylinders: what the book and the scale say of each, and one more weigh ticket."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.db.models.lookups import Exact
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django_filters import BooleanFilter, CharFilter, ChoiceFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers

from inventory.core.weighing import Style
from inventory.models import Container, Disposal, WeighTicket
from inventory.queries import Stands, as_put_right, containers, lot_as_known, standing_now, with_spot
from inventory.services import (
    DisposalIn,
    TicketIn,
    dispose_of,
    end_hold,
    keep_for_next,
    put_on_hold,
    say_lost,
    weigh_in_cabinet,
)
from shop.api.base import Lists, Shows, Writes, reads, writes
from shop.api.fields import MassOut, OneOf, ReadingIn, Seen, on_scale
from shop.api.refusals import fields_as, renamed
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Equipment, Establishment
from shop.permissions import EVERYONE
from shop.queries import in_service


class ContainerOut(serializers.Serializer[Stands]):
    """A container by its number; ``book`` is what the refrigerant book says it holds."""

    code = serializers.CharField(source="pk")
    kind = serializers.ChoiceField(["can", "cylinder"])
    refrigerant = serializers.CharField(source="refrigerant_id")
    lot = serializers.CharField(source="known_lot")
    came_on = serializers.DateField()
    book = MassOut()
    last_weighed = MassOut(allow_null=True)
    on_job = serializers.CharField(
        source="waits_for", allow_null=True, help_text="The open job that speaks for it."
    )
    on_hold = serializers.CharField(source="held_why", allow_null=True, help_text="Why nobody is to use it.")
    kept_by = serializers.CharField(allow_null=True, help_text="Who kept what is left for the next job.")
    found_without_number = serializers.BooleanField(
        source="unaccepted", help_text="Found, and not accepted by the owner yet."
    )
    spot = serializers.CharField(
        allow_null=True, help_text="Where it was moved last; null where it never was."
    )
    on_the_way = serializers.BooleanField(help_text="Nobody there has it yet.")
    ended = serializers.CharField(
        source="fate__what", allow_null=True, help_text="What became of it when its use ended."
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
    lot = CharFilter(method="named", label="Lot, as it is known now")
    spot = CharFilter(method="named", label="The spot where it was moved last")

    def named(self, rows: QuerySet[Container], name: str, text: str) -> QuerySet[Container]:
        if name == "lot":
            return rows.filter(Exact(lot_as_known(), text))
        return with_spot(rows).filter(**{name: text})


class ContainerList(Lists):
    """Every container that the shop ever had, the highest number first."""

    opens = reads(EVERYONE, Scope.CABINET_READ)
    gives = ContainerOut
    model = Container
    filterset_class = ContainerFilter

    def rows(self) -> QuerySet[Any]:
        return Container.objects.filter(establishment=self.house).values("pk")

    def on_page(self, rows: list[Any]) -> list[Stands]:
        return standing_now([one["pk"] for one in rows])


class ContainerDetail(Shows):
    """One container."""

    opens = reads(EVERYONE, Scope.CABINET_READ)
    gives = ContainerOut

    def thing(self, code: str) -> Stands:
        return standing_now([get_object_or_404(Container, establishment=self.house, pk=code).code])[0]


class Became(serializers.Serializer[Any]):
    """What became of a container. ``how`` is asked of what is disposed of, ``why`` of a hold, its end, and a loss."""

    what = serializers.ChoiceField(["kept", "disposed", "lost", "hold", "hold end"])
    how = serializers.ChoiceField(Disposal.How.choices, default="", allow_blank=True)
    why = serializers.CharField(max_length=200, default="", allow_blank=True)


class ContainerOutcome(Writes):
    """Say of a container that it is kept for the next job, emptied and disposed of, lost, on hold, or off hold."""

    opens = writes(EVERYONE, Scope.CABINET_WRITE)
    takes = Became
    gives = ContainerOut
    model = Container
    example = {"what": "hold", "why": "valve drips"}

    def write(self, said: Any, code: str) -> Stands:
        kin = ("can__type", "cylinder", "fate", "disposal", "establishment")
        container = get_object_or_404(containers(self.house).select_related(*kin), pk=code)
        with fields_as(renamed({"cans": ""})):
            self._write(container, said["what"], said["how"], said["why"])
        return standing_now([code])[0]

    def _write(self, container: Container, what: str, how: str, why: str) -> None:
        at, by = now(), self.person
        if what == "kept":
            keep_for_next(container, at=at, by=by)
        elif what == "hold":
            put_on_hold(container, why=why, at=at, by=by)
        elif what == "hold end":
            end_hold(container, why=why, at=at, by=by)
        elif what == "disposed":
            dispose_of([container], DisposalIn(how, why), on=timezone.localdate(at), at=at, by=by)
        else:
            say_lost(container, why=why, on=timezone.localdate(at), at=at, by=by)


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
        mine = Container.objects.select_related("can__type", "fate")
        container = get_object_or_404(mine, establishment=self.house, pk=code)
        container.establishment = self.house
        return container

    def rows(self, code: str) -> QuerySet[WeighTicket]:
        tickets = WeighTicket.objects.filter(container=self._container(code), set_aside=None)
        return tickets.select_related("scale", "by")

    def on_page(self, rows: list[WeighTicket]) -> list[WeighTicket]:
        as_put_right(rows)
        return rows

    def write(self, said: Any, code: str) -> WeighTicket:
        ticket = TicketIn(said["scale"], said["reading"], Style(said["style"]))
        return weigh_in_cabinet(self._container(code), ticket, seen=said["seen"], at=now(), by=self.person)
