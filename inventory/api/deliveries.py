"""Deliveries: what came on which slip, line by line and can by can."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import Model, QuerySet
from django.shortcuts import get_object_or_404
from django_filters import BooleanFilter, CharFilter, DateFilter
from django_filters.rest_framework import FilterSet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from inventory.models import Container, Delivery, DeliveryLine, Invoice
from inventory.queries import cans_of, deliveries, lines_to_come, return_slips, standing_invoices
from inventory.services.slips import as_slip
from shop.api.base import Door, Shows, reads
from shop.api.fields import NamesOf, several
from shop.core.roles import Role
from shop.core.scopes import Scope
from shop.permissions import EVERYONE


class DeliveryLineOut(serializers.Serializer[DeliveryLine]):
    """Cans of one kind on a slip. ``line`` counts from 1; ``sound`` and ``damaged`` are counted from the cans."""

    line = serializers.IntegerField()
    type = serializers.CharField()
    ordered = serializers.IntegerField(allow_null=True, help_text="Null where nobody said it.")
    on_slip = serializers.IntegerField()
    sound = serializers.IntegerField()
    damaged = serializers.IntegerField()
    returned = serializers.IntegerField()
    to_come = serializers.IntegerField()
    due = serializers.DateField(allow_null=True, help_text="When the supplier says that the rest comes.")
    not_coming = serializers.CharField(source="not_coming.why", default=None, allow_null=True)


class DeliveryRowOut(serializers.Serializer[Delivery]):
    """A delivery with its slip and its lines."""

    number = serializers.CharField()
    on = serializers.DateField()
    supplier = serializers.CharField(source="supplier.name")
    slip = serializers.CharField()
    other_slips = NamesOf("slip")
    received_by = serializers.CharField(source="by.name")
    undone = serializers.CharField(
        source="undone.why", default=None, allow_null=True, help_text="Why it was taken back out of the book."
    )
    lines = serializers.SerializerMethodField()

    @extend_schema_field(DeliveryLineOut(many=True))
    def get_lines(self, delivery: Delivery) -> Any:
        lines = list(delivery.lines.all())
        for number, line in enumerate(lines, 1):
            line.line = number  # type: ignore[attr-defined]
        return several(DeliveryLineOut, lines).data


class DeliveredCanOut(serializers.Serializer[Container]):
    """A can that came with a delivery, refused ones too."""

    code = serializers.CharField()
    type = serializers.CharField(source="can.type")
    lot = serializers.CharField(source="lot_now")
    came_on = serializers.DateField()
    came_sound = serializers.BooleanField(source="delivered.sound")
    ended = serializers.CharField(source="fate.what", default=None, allow_null=True)
    returned_on_slip = serializers.CharField(source="given_back.slip.number", default=None, allow_null=True)


class InvoiceOut(serializers.Serializer[Invoice]):
    """A bill as it holds now."""

    number = serializers.CharField()
    dated = serializers.DateField()
    total_cents = serializers.IntegerField()


class DeliveryOut(DeliveryRowOut):
    """A delivery with its cans; its invoices are null for who sees no prices."""

    asked = serializers.ChoiceField(
        Delivery.Asked.choices, help_text="What the supplier asked for: a 609 card or nothing."
    )
    asked_of = serializers.CharField(help_text="Whose card was shown, or empty.")
    cans = serializers.SerializerMethodField()
    return_slips = serializers.SerializerMethodField()
    invoices = serializers.SerializerMethodField()

    @extend_schema_field(DeliveredCanOut(many=True))
    def get_cans(self, delivery: Delivery) -> Any:
        return several(DeliveredCanOut, cans_of(delivery)).data

    def get_return_slips(self, delivery: Delivery) -> list[str]:
        mine = return_slips(delivery.establishment).filter(delivery=delivery)
        return list(mine.values_list("number", flat=True))

    @extend_schema_field(InvoiceOut(many=True, allow_null=True))
    def get_invoices(self, delivery: Delivery) -> Any:
        if self.context["request"].user.role == Role.TECHNICIAN:
            return None
        return several(InvoiceOut, standing_invoices(delivery)).data


class DeliveryFilter(FilterSet):
    since = DateFilter(field_name="on", lookup_expr="gte")
    until = DateFilter(field_name="on", lookup_expr="lte")
    supplier = CharFilter(field_name="supplier__name")
    slip = CharFilter(method="with_slip", label="Packing slip number, also of a second paper")
    undone = BooleanFilter(field_name="undone", lookup_expr="isnull", exclude=True)
    waiting = BooleanFilter(method="to_come", label="Whether cans of it are still to come")

    def with_slip(self, rows: QuerySet[Delivery], name: str, typed: str) -> QuerySet[Delivery]:
        slip = as_slip(typed)
        other = Delivery.objects.filter(other_slips__slip=slip).values("pk")
        return rows.filter(slip=slip) | rows.filter(pk__in=other)

    def to_come(self, rows: QuerySet[Delivery], name: str, wanted: bool) -> QuerySet[Delivery]:
        lines = lines_to_come(self.request.user.establishment, since=date.min).values("delivery")
        return rows.filter(pk__in=lines) if wanted else rows.exclude(pk__in=lines)


class OfDelivery(Door):
    """An address of or below one delivery."""

    model: type[Model] = Delivery

    def delivery(self, number: str) -> Delivery:
        """A delivery of this shop, or ``Http404``."""
        return get_object_or_404(deliveries(self.house), number=number)


class DeliveryDetail(OfDelivery, Shows):
    """One delivery, can by can."""

    opens = reads(EVERYONE, Scope.CABINET_READ)
    gives = DeliveryOut

    def thing(self, delivery: str) -> Delivery:
        return self.delivery(delivery)
