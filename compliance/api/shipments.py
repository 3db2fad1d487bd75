"""Shipments of recovered refrigerant: facilities, sending, the facility's receipt."""

from __future__ import annotations

from typing import Any

from django.db.models import F, QuerySet, Value
from django.db.models.functions import Concat
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext as _
from django_filters import BooleanFilter, ChoiceFilter, DateFilter
from django_filters.rest_framework import FilterSet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail

from compliance.services import receive_receipt, send_shipment
from inventory.api.containers import scales
from inventory.models import Facility, FacilityReceipt, Shipment, ShippedCylinder
from inventory.queries import both_weights, facilities, in_the_cabinet, shipments
from inventory.services import (
    CylinderSent,
    FacilityIn,
    ReceiptIn,
    ShipmentIn,
    TicketIn,
    add_facility,
)
from shop.api.base import Door, Lists, Shows, Writes, reads, writes
from shop.api.fields import DayIn, MassOut, OneOf, ReadingIn, Seen, on_scale, several
from shop.api.refusals import fields_as, renamed
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Establishment
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER

OFFICE_WRITES = writes((FRONT_OFFICE, OWNER), Scope.CABINET_WRITE)


class SentToOut(serializers.Serializer[Facility]):
    """Where a shipment went."""

    called = serializers.SerializerMethodField(help_text="What requests call it: name, address.")
    name = serializers.CharField()
    address = serializers.CharField()
    reclaimer_checked_on = serializers.DateField(
        allow_null=True, help_text="When its reclaimer status was looked up; null when nobody did."
    )

    def get_called(self, facility: Facility) -> str:
        return f"{facility.name}, {facility.address}"


class FacilityOut(SentToOut):
    """Where refrigerant may be sent; a facility that moved stands here twice."""

    phone = serializers.CharField()


def facilities_as_called(house: Establishment) -> QuerySet[Facility]:
    """The shop's facilities with what a request calls them; a name alone may be that of several addresses."""
    return facilities(house).annotate(called=Concat(F("name"), Value(", "), F("address")))


class NewFacility(serializers.Serializer[Any]):
    """A place that refrigerant may be sent to: 40 CFR 82.42(b)(1) asks for its name and address."""

    name = serializers.CharField(max_length=80)
    address = serializers.CharField(max_length=200, help_text="Street, place, state.")
    phone = serializers.CharField(max_length=30, default="", allow_blank=True)
    reclaimer_checked_on = DayIn(required=False, allow_null=True, default=None)


class FacilityList(Lists, Writes):
    """The facilities that refrigerant may be sent to; POST puts one on the list."""

    opens = reads((FRONT_OFFICE, OWNER), Scope.CABINET_READ) | OFFICE_WRITES
    takes = NewFacility
    gives = FacilityOut
    model = Facility
    example = {
        "name": "Saltgrass Refrigerant Recovery",
        "address": "9 Depot Lane, Other Springs, CO 80001",
        "reclaimer_checked_on": "2026-07-01",
    }

    def rows(self) -> QuerySet[Facility]:
        return facilities(self.house)

    def write(self, said: Any) -> Facility:
        at = now()
        today = timezone.localdate(at)
        return add_facility(FacilityIn(**said), self.house, today=today, at=at, by=self.person)


class ShippedOut(serializers.Serializer[ShippedCylinder]):
    """A cylinder as it left: the scale's reading, what it held by that, and their net weight of it."""

    cylinder = serializers.CharField(source="container_id")
    refrigerant = serializers.SerializerMethodField(help_text="unknown where nobody can say what it holds.")
    reading = MassOut(source="ticket.reading")
    net = MassOut(help_text="Our weight: the reading less the stamped tare. The book keeps this one.")
    their_net = MassOut(
        source="received", typed=("net_text", "net_unit", "net"), allow_null=True, default=None
    )
    comes_back = serializers.BooleanField()
    note = serializers.CharField()

    def get_refrigerant(self, one: ShippedCylinder) -> str:
        return "unknown" if one.mixed else one.container.refrigerant_id


class FacilityReceiptOut(serializers.Serializer[FacilityReceipt]):
    """The facility's own ticket."""

    number = serializers.CharField()
    on = serializers.DateField()
    note = serializers.CharField()


class ShipmentRowOut(serializers.Serializer[Shipment]):
    """A shipment by our weight and by theirs, which is null while no receipt is in."""

    number = serializers.CharField()
    on = serializers.DateField()
    facility = SentToOut()
    purpose = serializers.ChoiceField(Shipment.Purpose.choices)
    ours = serializers.SerializerMethodField()
    theirs = serializers.SerializerMethodField()
    receipt = FacilityReceiptOut(default=None, allow_null=True)

    @extend_schema_field(MassOut())
    def get_ours(self, shipment: Shipment) -> Any:
        return MassOut().to_representation(both_weights(shipment).ours)

    @extend_schema_field(MassOut(allow_null=True))
    def get_theirs(self, shipment: Shipment) -> Any:
        theirs = both_weights(shipment).theirs
        return None if theirs is None else MassOut().to_representation(theirs)


class ShipmentOut(ShipmentRowOut):
    """A shipment with its cylinders; its record is the paper of the same number."""

    carrier = serializers.CharField()
    driver = serializers.CharField()
    shipping_paper = serializers.CharField()
    shipper = serializers.CharField()
    capped = serializers.BooleanField()
    signed_by = serializers.CharField(source="by.name")
    cylinders = ShippedOut(many=True)
    record_version = serializers.SerializerMethodField(help_text="The newest version of its paper.")

    def get_record_version(self, shipment: Shipment) -> int:
        newest = shipment.records.order_by("-document__version").values_list("document__version", flat=True)
        return newest[0]


class SentCylinder(serializers.Serializer[Any]):
    """One cylinder on the scale as it leaves."""

    cylinder = OneOf("pk", in_the_cabinet)
    scale = OneOf("code", scales)
    reading = ReadingIn()
    comes_back = serializers.BooleanField(default=False, help_text="Ours, and comes back empty.")
    note = serializers.CharField(
        max_length=120, default="", allow_blank=True, help_text="Identifier result, oil."
    )

    def validate(self, attrs: Any) -> CylinderSent:
        ticket = TicketIn(attrs["scale"], on_scale(attrs["scale"], attrs["reading"]))
        return CylinderSent(attrs["cylinder"], ticket, comes_back=attrs["comes_back"], note=attrs["note"])


class Send(serializers.Serializer[Any]):
    """Cylinders that leave together. What ``seen`` lets pass is asked of a stamp that is past its day."""

    facility = OneOf(
        "called", facilities_as_called, max_length=300, help_text="As the list of facilities calls it."
    )
    purpose = serializers.ChoiceField(Shipment.Purpose.choices)
    carrier = serializers.CharField(max_length=80)
    driver = serializers.CharField(max_length=80, default="", allow_blank=True)
    shipping_paper = serializers.CharField(
        max_length=200, default="", allow_blank=True, help_text="As on the paper that the shipper prepared."
    )
    shipper = serializers.CharField(max_length=80, default="", allow_blank=True)
    capped = serializers.BooleanField(help_text="Valves capped, cylinders upright, checked for leaks.")
    cylinders = several(SentCylinder, allow_empty=False, max_length=50)
    seen = Seen()


class ShipmentFilter(FilterSet):
    since = DateFilter(field_name="on", lookup_expr="gte")
    until = DateFilter(field_name="on", lookup_expr="lte")
    purpose = ChoiceFilter(choices=Shipment.Purpose.choices)
    receipt = BooleanFilter(field_name="receipt", lookup_expr="isnull", exclude=True)


class Shipments(Door):
    """An address of shipments."""

    model = Shipment
    gives = ShipmentOut

    def one(self, number: str) -> Shipment:
        """A shipment of this shop, or ``Http404``."""
        return get_object_or_404(shipments(self.house), number=number)


class ShipmentList(Shipments, Lists, Writes):
    """Shipments, newest first; POST weighs cylinders, sends them off and issues the shipment record."""

    opens = reads(EVERYONE, Scope.CABINET_READ) | OFFICE_WRITES
    takes = Send
    row = ShipmentRowOut
    filterset_class = ShipmentFilter
    example = {
        "facility": "Saltgrass Refrigerant Recovery, 9 Depot Lane, Other Springs, CO 80001",
        "purpose": "reclaim",
        "carrier": "own van",
        "capped": True,
        "cylinders": [{"cylinder": "RC-02", "scale": "SC-1", "reading": {"value": "10234", "unit": "g"}}],
        "seen": ["requalification-past"],
    }

    def rows(self) -> QuerySet[Shipment]:
        return shipments(self.house)

    def write(self, said: Any) -> Shipment:
        at, house, by = now(), self.house, self.person
        seen, cylinders = said["seen"], said["cylinders"]
        names = {one.container.code: f"cylinders.{n}.reading" for n, one in enumerate(cylinders)}
        shipment = ShipmentIn(**{name: of for name, of in said.items() if name != "seen"})
        with fields_as(renamed(names)):
            sent = send_shipment(shipment, house, seen=seen, on=timezone.localdate(at), at=at, by=by)
        return self.one(sent.number)


class ShipmentDetail(Shipments, Shows):
    """One shipment, cylinder by cylinder."""

    opens = reads(EVERYONE, Scope.CABINET_READ)

    def thing(self, shipment: str) -> Shipment:
        return self.one(shipment)


class TheirNet(serializers.Serializer[Any]):
    """Their net weight of one cylinder, as on their ticket."""

    cylinder = serializers.CharField(max_length=16)
    net = ReadingIn()


class ReceiptCame(serializers.Serializer[Any]):
    """The facility's ticket: number, day, their net weight of each cylinder."""

    number = serializers.CharField(max_length=40)
    on = DayIn(required=False, help_text="Its day; today when left out.")
    nets = several(TheirNet, allow_empty=False, max_length=50)
    note = serializers.CharField(
        max_length=200, default="", allow_blank=True, help_text="Purity, credit, or why the weights differ."
    )


class ShipmentReceipt(Shipments, Writes):
    """Keep the facility's receipt: the book keeps our weight, a new version of the record shows both."""

    opens = OFFICE_WRITES
    takes = ReceiptCame
    example = {
        "number": "T-4471",
        "nets": [{"cylinder": "RC-07", "net": {"value": "5.0", "unit": "lb"}}],
    }

    def write(self, said: Any, shipment: str) -> Shipment:
        at, mine = now(), self.one(shipment)
        today, ours = timezone.localdate(at), {one.container_id for one in mine.cylinders.all()}
        nets = dict[str, Any]()
        for number, one in enumerate(said["nets"]):
            code = one["cylinder"]
            if code not in ours or code in nets:
                sentence = _("%(shipment)s has one net weight of each cylinder that was on it.")
                wrong = ErrorDetail(sentence % {"shipment": mine}, "unknown")
                raise serializers.ValidationError({f"nets.{number}.cylinder": [wrong]})
            nets[code] = one["net"]
        receipt = ReceiptIn(said["number"], said.get("on", today), nets, said["note"])
        with fields_as(renamed(dict.fromkeys(ours, "nets"))):
            receive_receipt(mine, receipt, today=today, at=at, by=self.person)
        return self.one(shipment)
