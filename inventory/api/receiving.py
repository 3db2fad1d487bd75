"""Receive a delivery: type its slip, and every can gets its number."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail

from inventory.api.deliveries import DeliveryFilter, DeliveryOut, DeliveryRowOut, OfDelivery
from inventory.api.suppliers import types_as_called
from inventory.forms.receiving import lots_shared
from inventory.forms.rows import MOST_ROWS
from inventory.models import Delivery
from inventory.queries import deliveries, suppliers
from inventory.services import DeliveryIn, InvoiceIn, LineIn, add_invoice, receive_delivery
from inventory.services.invoicing import MOST_CENTS
from inventory.services.slips import MOST_CANS
from shop.api.base import Lists, Writes, reads, writes
from shop.api.fields import DayIn, OneOf, WholeIn, several
from shop.api.refusals import fields_as, in_lines
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Establishment, Person
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER
from shop.queries import people

OFFICE_WRITES = writes((FRONT_OFFICE, OWNER), Scope.CABINET_WRITE)
TODAY = "Today when left out."


def cans_field(**rest: Any) -> WholeIn:
    """A number of cans."""
    return WholeIn(min_value=0, max_value=MOST_CANS, **rest)


def with_card(house: Establishment) -> QuerySet[Person]:
    """Whose 609 card a supplier may have seen."""
    return people(house).filter(cards__isnull=False)


class LotShare(serializers.Serializer[Any]):
    """Cans of one lot; without a number the lot takes the cans that the other lots leave."""

    lot = serializers.CharField(max_length=40)
    cans = cans_field(required=False, allow_null=True, default=None)


def lots_in(said: Any, sound: int) -> tuple[tuple[str, int], ...]:
    """The lots of a line with their cans; raises ``ValidationError`` under ``lots``."""
    try:
        return lots_shared([(one["lot"], one["cans"]) for one in said], sound)
    except ValidationError as unread:
        raise serializers.ValidationError({"lots": unread.messages}) from unread


class ReceivedLine(serializers.Serializer[Any]):
    """Cans of one kind as the slip says it: cases, single cans, or both."""

    type = OneOf("called", types_as_called, help_text="For example R-134a 12-oz can.")
    cases = WholeIn(min_value=0, max_value=500, default=0)
    cans = cans_field(default=0)
    damaged = cans_field(default=0)
    sound = cans_field(
        required=False, allow_null=True, default=None, help_text="All but the damaged when left out."
    )
    lots = several(LotShare, default=list, max_length=50)
    ordered = cans_field(
        required=False, allow_null=True, default=None, help_text="As many as on the slip when left out."
    )
    due = DayIn(required=False, allow_null=True, default=None, help_text="When the rest comes.")

    def validate(self, attrs: Any) -> LineIn:
        kind = attrs["type"]
        if not attrs["cases"] and not attrs["cans"]:
            sentence = _("Type how many cases or single cans the slip says.")
            raise serializers.ValidationError({"cases": [ErrorDetail(sentence, "required")]})
        on_slip, damaged = attrs["cases"] * kind.cans_per_case + attrs["cans"], attrs["damaged"]
        sound = max(on_slip - damaged, 0) if attrs["sound"] is None else attrs["sound"]
        lots = lots_in(attrs["lots"], sound)
        return LineIn(kind, on_slip, sound, damaged, lots, attrs["ordered"], attrs["due"])


class CameWithInvoice(serializers.Serializer[Any]):
    """An invoice that came with the cans."""

    number = serializers.CharField(max_length=40)
    dated = DayIn()
    total_cents = WholeIn(min_value=0, max_value=MOST_CENTS, help_text="With tax and deposit, in cents.")


class Receive(serializers.Serializer[Any]):
    """A delivery as its slip tells it."""

    supplier = OneOf("name", suppliers)
    slip = serializers.CharField(max_length=40, help_text="Packing slip number.")
    on = DayIn(required=False, help_text=f"The day it arrived. {TODAY}")
    lines = several(ReceivedLine, allow_empty=False, max_length=MOST_ROWS)
    asked = serializers.ChoiceField(Delivery.Asked.choices, default=Delivery.Asked.NOT_ASKED)
    asked_of = OneOf(
        "name",
        with_card,
        required=False,
        allow_null=True,
        default=None,
        help_text="Whose card, if one was shown.",
    )
    another = serializers.BooleanField(
        default=False, help_text="It is not the delivery of that day that looks just like it."
    )
    invoice = CameWithInvoice(required=False, allow_null=True, default=None)


class DeliveryList(OfDelivery, Lists, Writes):
    """Deliveries with their lines; POST receives one: each can gets its number, the sound ones enter the book."""

    opens = reads(EVERYONE, Scope.CABINET_READ) | OFFICE_WRITES
    takes = Receive
    gives = DeliveryOut
    row = DeliveryRowOut
    filterset_class = DeliveryFilter
    example = {
        "supplier": "Sample Parts Supply",
        "slip": "90211",
        "lines": [
            {"type": "R-134a 12-oz can", "cases": 2, "damaged": 1, "lots": [{"lot": "L24B-07"}]},
            {"type": "R-1234yf 8-oz can", "cans": 6},
        ],
    }

    def rows(self) -> QuerySet[Delivery]:
        return deliveries(self.house)

    def write(self, said: Any) -> Delivery:
        at = now()
        today = timezone.localdate(at)
        shown = said["asked_of"] if said["asked"] == Delivery.Asked.CARD_SHOWN else None
        delivery = DeliveryIn(
            supplier=said["supplier"],
            slip=said["slip"],
            on=said.get("on", today),
            lines=tuple(said["lines"]),
            asked=said["asked"],
            asked_of="" if shown is None else shown.name,
            another=said["another"],
        )
        with fields_as(in_lines):
            made = receive_delivery(delivery, self.house, today=today, at=at, by=self.person)
        if bill := said["invoice"]:
            invoice = InvoiceIn(bill["number"], bill["dated"], bill["total_cents"])
            with fields_as(_in_invoice):
                add_invoice(made, invoice, today=today, at=at, by=self.person)
        return self.delivery(made.number)


def _in_invoice(field: str) -> str:
    return f"invoice.{'total_cents' if field == 'total' else field}".removesuffix(".")
