"""Cans that came damaged, and cans that go back."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail

from inventory.api.containers import scales
from inventory.api.deliveries import OfDelivery
from inventory.api.receiving import OFFICE_WRITES, TODAY
from inventory.models import Container, Damage, ReturnSlip
from inventory.queries import cans_of, return_slips
from inventory.services import DamageIn, ReturnIn, TicketIn, note_damage, return_cans
from shop.api.base import Lists, Writes, reads
from shop.api.fields import DayIn, MassOut, NamesOf, OneOf, ReadingIn, SeveralOf, on_scale
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Establishment
from shop.permissions import FRONT_OFFICE, OWNER

OFFICE_READS = reads((FRONT_OFFICE, OWNER), Scope.CABINET_READ)


def delivered_cans(house: Establishment) -> QuerySet[Container]:
    """Cans that came with any delivery; the service asks whether it was this one."""
    return Container.objects.filter(establishment=house, kind="can").select_related("can__type")


class DamageOut(serializers.Serializer[Damage]):
    """What is wrong with a can, and where it stands; lost is what was gone before our work."""

    can = serializers.CharField(source="container_id")
    what = serializers.CharField()
    where = serializers.CharField()
    reading = MassOut(source="ticket.reading", allow_null=True, default=None)
    lost = MassOut()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class Damaged(serializers.Serializer[Any]):
    """A can that came damaged or was found so later; weighed when it hissed."""

    can = OneOf("pk", delivered_cans)
    what = serializers.CharField(max_length=120, help_text="For example crushed seam, hissing.")
    where = serializers.CharField(max_length=120, help_text="Where it stands now.")
    scale = OneOf("code", scales, required=False, allow_null=True, default=None)
    reading = ReadingIn(required=False, allow_null=True, default=None)

    def validate(self, attrs: Any) -> Any:
        scale, reading = attrs["scale"], attrs["reading"]
        if (scale is None) is not (reading is None):
            name, sentence = "scale" if scale is None else "reading", _("Reading and scale belong together.")
            raise serializers.ValidationError({name: [ErrorDetail(sentence, "required")]})
        return attrs | {"reading": None if scale is None else on_scale(scale, reading)}


class DeliveryDamages(OfDelivery, Lists, Writes):
    """Cans of a delivery that came damaged; POST describes one. A can in use is refused by it and leaves the book."""

    opens = OFFICE_READS | OFFICE_WRITES
    takes = Damaged
    gives = DamageOut
    model = Damage
    example = {
        "can": "K-0007",
        "what": "crushed seam, hissing",
        "where": "outside, upright",
        "scale": "SC-1",
        "reading": {"value": "452", "unit": "g"},
    }

    def rows(self, delivery: str) -> QuerySet[Damage]:
        mine = Damage.objects.filter(container__delivered__line__delivery=self.delivery(delivery))
        return mine.select_related("ticket", "by")

    def write(self, said: Any, delivery: str) -> Damage:
        at, mine = now(), self.delivery(delivery)
        can = said["can"]
        if not cans_of(mine).filter(pk=can.pk).exists():
            sentence = _("%(can)s did not come with %(delivery)s.") % {"can": can, "delivery": mine}
            raise serializers.ValidationError({"can": [ErrorDetail(sentence, "unknown")]})
        ticket = None if said["reading"] is None else TicketIn(said["scale"], said["reading"])
        damage = DamageIn(said["what"], said["where"], ticket)
        return note_damage(can, damage, today=timezone.localdate(at), at=at, by=self.person)


class ReturnSlipOut(serializers.Serializer[ReturnSlip]):
    """Cans that left, to whom and why; credited_cents is null until a credit came."""

    number = serializers.CharField()
    delivery = serializers.CharField(source="delivery.number")
    on = serializers.DateField()
    to = serializers.ChoiceField(ReturnSlip.To.choices)
    handed_to = serializers.CharField()
    reason = serializers.CharField()
    cans = NamesOf("container_id")
    credited_cents = serializers.SerializerMethodField()

    def get_credited_cents(self, slip: ReturnSlip) -> int | None:
        credits = slip.credits.all()
        return sum(one.cents for one in credits) if credits else None


class SendBack(serializers.Serializer[Any]):
    """Which cans leave, where to, and who takes them."""

    cans = SeveralOf("pk", delivered_cans, allow_empty=False)
    on = DayIn(required=False, help_text=TODAY)
    to = serializers.ChoiceField(ReturnSlip.To.choices)
    handed_to = serializers.CharField(max_length=80, help_text="The driver, or the facility.")
    reason = serializers.CharField(max_length=150)


class DeliveryReturns(OfDelivery, Lists, Writes):
    """The return slips of a delivery; POST lets cans leave with what they hold."""

    opens = OFFICE_READS | OFFICE_WRITES
    takes = SendBack
    gives = ReturnSlipOut
    model = ReturnSlip
    example = {"cans": ["K-0008"], "to": "supplier", "handed_to": "the driver", "reason": "wrong refrigerant"}

    def rows(self, delivery: str) -> QuerySet[ReturnSlip]:
        return return_slips(self.house).filter(delivery=self.delivery(delivery))

    def write(self, said: Any, delivery: str) -> ReturnSlip:
        at = now()
        today = timezone.localdate(at)
        going = ReturnIn(
            tuple(said["cans"]),
            said.get("on", today),
            ReturnSlip.To(said["to"]),
            said["handed_to"],
            said["reason"],
        )
        slip = return_cans(self.delivery(delivery), going, today=today, at=at, by=self.person)
        return return_slips(self.house).get(pk=slip.pk)
