"""What happens to a delivery's slip afterwards: the rest of it, lots, a second paper, undoing."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail

from inventory.api.deliveries import DeliveryOut, OfDelivery
from inventory.api.receiving import OFFICE_WRITES, TODAY, LotShare, cans_field, lots_in
from inventory.forms.rows import MOST_ROWS
from inventory.models import Container, Delivery, DeliveryLine
from inventory.queries import deliveries
from inventory.services import (
    RestIn,
    RestLineIn,
    add_slip,
    drop_rest,
    merge_deliveries,
    receive_rest,
    split_lot,
    undo_delivery,
)
from shop.api.base import Writes, writes
from shop.api.fields import DayIn, OneOf, SeveralOf, WholeIn, several
from shop.api.refusals import fields_as, in_lines
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Establishment
from shop.permissions import OWNER


class RestLine(serializers.Serializer[Any]):
    """Cans of a line that was short."""

    line = WholeIn(min_value=1, max_value=1000, help_text="The line's number, from 1.")
    sound = cans_field(default=0)
    damaged = cans_field(default=0)
    lots = several(LotShare, default=list, max_length=50)

    def validate(self, attrs: Any) -> Any:
        return attrs | {"lots": lots_in(attrs["lots"], attrs["sound"])}


class Rest(serializers.Serializer[Any]):
    """What was to come of a slip has come."""

    on = DayIn(required=False, help_text=TODAY)
    lines = several(RestLine, allow_empty=False, max_length=MOST_ROWS)


class AfterDelivery(OfDelivery, Writes):
    """A write about one delivery, answered with it as it stands then."""

    opens = OFFICE_WRITES
    gives = DeliveryOut

    def line(self, delivery: Delivery, number: int, field: str) -> DeliveryLine:
        """A line by its number; raises ``ValidationError`` under ``field``."""
        lines = list(delivery.lines.all())
        if number > len(lines):
            sentence = _("%(delivery)s has no line %(line)s.") % {"delivery": delivery, "line": number}
            raise serializers.ValidationError({field: [ErrorDetail(sentence, "unknown")]})
        return lines[number - 1]


class DeliveryRest(AfterDelivery):
    """Take in what was to come of a short slip; its cans are numbered on and belong to the same delivery."""

    takes = Rest
    example = {"lines": [{"line": 1, "sound": 1}]}

    def write(self, said: Any, delivery: str) -> Delivery:
        at, mine = now(), self.delivery(delivery)
        today, lines = timezone.localdate(at), list[RestLineIn]()
        for number, one in enumerate(said["lines"]):
            line = self.line(mine, one["line"], f"lines.{number}.line")
            if any(line.pk == other.line.pk for other in lines):
                sentence = _("A line stands here once.")
                raise serializers.ValidationError({f"lines.{number}.line": [ErrorDetail(sentence, "twice")]})
            lines.append(RestLineIn(line, one["sound"], one["damaged"], one["lots"]))
        with fields_as(in_lines):
            rest = RestIn(said.get("on", today), tuple(lines))
            receive_rest(mine, rest, today=today, at=at, by=self.person)
        return self.delivery(delivery)


class NotComingLine(serializers.Serializer[Any]):
    """The rest of a line will not come."""

    line = WholeIn(min_value=1, max_value=1000, help_text="The line's number, from 1.")
    why = serializers.CharField(max_length=150, help_text="Who said so.")


class DeliveryNotComing(AfterDelivery):
    """The supplier will not send the rest of a line: it is waited for no longer."""

    takes = NotComingLine
    example = {"line": 1, "why": "supplier, by phone: out of stock"}

    def write(self, said: Any, delivery: str) -> Delivery:
        line = self.line(self.delivery(delivery), said["line"], "line")
        drop_rest(line, why=said["why"], at=now(), by=self.person)
        return self.delivery(delivery)


def all_containers(house: Establishment) -> QuerySet[Container]:
    return Container.objects.filter(establishment=house)


class SplitLot(serializers.Serializer[Any]):
    """Some cans of a delivery and the lot that is printed on them."""

    lot = serializers.CharField(max_length=40)
    cans = SeveralOf("pk", all_containers, allow_empty=False)


class DeliveryLots(AfterDelivery):
    """Say of some cans which lot they are of, from here on. No number changes and no gram moves."""

    takes = SplitLot
    example = {"lot": "L25A", "cans": ["K-0003"]}

    def write(self, said: Any, delivery: str) -> Delivery:
        split_lot(self.delivery(delivery), said["cans"], said["lot"], at=now(), by=self.person)
        return self.delivery(delivery)


class SecondSlip(serializers.Serializer[Any]):
    """A second paper of the same cans."""

    slip = serializers.CharField(max_length=40)


class DeliverySlips(AfterDelivery):
    """Keep a second slip number of a delivery that is in; no can is added."""

    takes = SecondSlip
    example = {"slip": "90211-B"}

    def write(self, said: Any, delivery: str) -> Delivery:
        add_slip(self.delivery(delivery), said["slip"], at=now(), by=self.person)
        return self.delivery(delivery)


class SameDelivery(serializers.Serializer[Any]):
    """The same delivery, typed once more from a second paper."""

    other = OneOf("number", deliveries, help_text="The number of the delivery that goes.")


class DeliveryMerging(AfterDelivery):
    """Another delivery is this one: it is undone, and its slip is kept here as a second paper."""

    takes = SameDelivery
    example = {"other": "D24-0002"}

    def write(self, said: Any, delivery: str) -> Delivery:
        at, keep = now(), self.delivery(delivery)
        merge_deliveries(keep, said["other"], today=timezone.localdate(at), at=at, by=self.person)
        return self.delivery(delivery)


class Undo(serializers.Serializer[Any]):
    """Why a delivery is taken back out of the book."""

    why = serializers.CharField(max_length=150)


class DeliveryUndoing(AfterDelivery):
    """Take a delivery back out of the book by a reversal; both entries stay readable."""

    opens = writes((OWNER,), Scope.CABINET_WRITE)
    takes = Undo
    example = {"why": "typed twice"}

    def write(self, said: Any, delivery: str) -> Delivery:
        at = now()
        undo_delivery(
            self.delivery(delivery), why=said["why"], today=timezone.localdate(at), at=at, by=self.person
        )
        return self.delivery(delivery)
