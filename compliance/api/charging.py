"""The charge of a job for programs: one reading after the other, and the numbers that the charge page shows."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from rest_framework import serializers

from compliance.api.charge_out import Charging, JobChargeOut, JobTicketOut
from compliance.api.job_door import ContainerOf, InService, JobDoor, JobWrites, Uncertified, line
from compliance.api.stages import BAY_WRITES
from compliance.forms.charging import EMPTY, LEAK_TEST, MOMENTS, OFF, STAYS, label_weight
from compliance.models import CanTicket, LightCan
from compliance.queries.charge_view import charge_view
from compliance.services import (
    WeighingIn,
    finish_charge,
    refile_can,
    retype_ticket,
    take_off_can,
    take_over_can,
    weigh_can,
)
from compliance.services.charging import charge_in
from inventory.core.weighing import Origin, Style
from inventory.models import Container
from inventory.queries import as_put_right
from inventory.services import TicketIn
from shop.api.base import Lists, Shows, reads
from shop.api.fields import MomentIn, ReadingIn, Seen, WholeIn, on_scale
from shop.core.mass import ZERO, grams
from shop.core.scopes import Scope
from shop.http import now
from shop.permissions import EVERYONE


class OnThePanIn(serializers.Serializer[Any]):
    """One reading of one can."""

    scale = InService("scale")
    reading = ReadingIn(required=False, allow_null=True, default=None)
    from_label = serializers.BooleanField(
        default=False, help_text="Sealed, and not weighed before it was opened: take its label weight."
    )
    style = serializers.ChoiceField([one.value for one in Style], default=Style.BARE.value)  # type: ignore[assignment]
    read_at = MomentIn(
        required=False,
        allow_null=True,
        default=None,
        help_text="When it was read, if that was earlier; the ticket is marked as typed later.",
    )
    light = serializers.ChoiceField(
        LightCan.Why.choices,
        required=False,
        allow_blank=True,
        default="",
        help_text="Why a sealed can was light, when that was asked.",
    )
    seen = Seen()
    uncertified = Uncertified()

    def validate(self, attrs: Any) -> Any:
        if attrs["from_label"]:
            return attrs
        if attrs["reading"] is None:
            raise serializers.ValidationError({"reading": [_("Type what the scale shows.")]}, code="required")
        return attrs | {"reading": on_scale(attrs["scale"], attrs["reading"])}


def on_the_pan(said: Any, can: Container, what: str) -> WeighingIn:
    """What was said of a can, for the service; ``what`` is one of the charge page's words for a reading."""
    scale, reading, origin = said["scale"], said["reading"], Origin.WEIGHED
    if said["from_label"]:
        if can.kind != "can":
            raise serializers.ValidationError({"from_label": [_("That is no can.")]})
        reading, origin = label_weight(can, scale), Origin.LABEL
    elif said["read_at"] is not None:
        origin = Origin.TYPED_LATER
    return WeighingIn(
        container=can,
        ticket=TicketIn(scale, reading, Style(said["style"]), origin),
        moment=MOMENTS[what],
        emptied=what == EMPTY,
        stays_on=what in (LEAK_TEST, STAYS),
        seen=tuple(said["seen"]),
        light=said["light"],
        said_at=said["read_at"],
        uncertified=said["uncertified"],
    )


class CanReadIn(OnThePanIn):
    """One reading of a can: before it goes on the car, after the leak-test charge, after it gave. "empty" and "off"
    come off the car, "stays" and "leak test" stay on it."""

    container = ContainerOf()
    what = serializers.ChoiceField(list(MOMENTS))


class JobTickets(JobDoor, Lists, JobWrites):
    """The weigh tickets of a job that hold, newest first. POST weighs a can onto the car or off it; a warning is
    refused until its code comes along in seen."""

    opens = reads(EVERYONE, Scope.JOBS_READ) | BAY_WRITES
    takes = CanReadIn
    gives = JobTicketOut
    named = {"moment": "what"}
    example = {
        "container": "K-0010",
        "scale": "SC-1",
        "reading": {"value": "466", "unit": "g"},
        "what": "before",
    }

    def rows(self, **named: Any) -> QuerySet[CanTicket]:
        rows = CanTicket.objects.filter(job=self.job, retyped=None)
        return rows.select_related("ticket__scale", "light", "by")

    def on_page(self, rows: list[CanTicket]) -> list[CanTicket]:
        as_put_right([row.ticket for row in rows])
        return rows

    def write(self, said: Any, **named: Any) -> CanTicket:
        reading = on_the_pan(said, said["container"], said["what"])
        return weigh_can(self.job, reading, at=now(), by=self.person)


class RetypeIn(OnThePanIn):
    """The same weighing as it should have been typed. ``empty`` is left as it was unless it is said."""

    empty = serializers.BooleanField(required=False, allow_null=True, default=None)


class Retypings(JobDoor, JobWrites):
    """Type a ticket of an open job again. The old one stays readable and no longer counts."""

    opens = BAY_WRITES
    takes = RetypeIn
    gives = JobTicketOut
    named = {"container": "", "moment": "", "what": ""}
    example = {"scale": "SC-1", "reading": {"value": "465", "unit": "g"}}

    def write(self, said: Any, *, weighing: int, **named: Any) -> CanTicket:
        rows = CanTicket.objects.filter(job=self.job).select_related(
            "job__establishment", "ticket__container__can__type"
        )
        old = get_object_or_404(rows, ticket__number=weighing)
        empty = old.emptied if said["empty"] is None else said["empty"]
        again = on_the_pan(said, old.ticket.container, EMPTY if empty else OFF)
        return retype_ticket(old, again, at=now(), by=self.person)


class TakeOverIn(OnThePanIn):
    """The reading of a can that hangs on another car."""

    container = ContainerOf()


class TakingOver(JobDoor, JobWrites):
    """Take a can over from the car it hangs on: one reading ends its use there and begins it here."""

    opens = BAY_WRITES
    takes = TakeOverIn
    gives = JobTicketOut
    example = {"container": "K-0010", "scale": "SC-1", "reading": {"value": "300", "unit": "g"}}

    def write(self, said: Any, **named: Any) -> CanTicket:
        return take_over_can(self.job, on_the_pan(said, said["container"], OFF), at=now(), by=self.person)


class ChargeDoor(JobDoor):
    """An address that answers with the charge as it stands."""

    gives = JobChargeOut

    def standing(self) -> Charging:
        sheet = self.sheet
        return Charging(sheet, charge_view(sheet))


class TakeOffIn(serializers.Serializer[Any]):
    """Which can."""

    container = ContainerOf()


class TakingOff(ChargeDoor, JobWrites):
    """A can that was read with its tap closed came off the car since, at that same reading."""

    opens = BAY_WRITES
    takes = TakeOffIn
    example = {"container": "K-0010"}

    def write(self, said: Any, **named: Any) -> Charging:
        take_off_can(self.job, said["container"], at=now(), by=self.person)
        return self.standing()


class RefileIn(serializers.Serializer[Any]):
    """The can whose tickets they are, and which can it really was."""

    container = ContainerOf()
    really = ContainerOf()


class Refiling(ChargeDoor, JobWrites):
    """It was another can all along: every ticket of one can on the job moves to the other."""

    opens = BAY_WRITES
    takes = RefileIn
    named = {"container": "really"}
    example = {"container": "K-0010", "really": "K-0009"}

    def write(self, said: Any, **named: Any) -> Charging:
        refile_can(self.job, said["container"], said["really"], at=now(), by=self.person)
        return self.standing()


class FinishIn(serializers.Serializer[Any]):
    """What did not stay in the car. Left out, the hoses hold what the shop allows for them."""

    hoses = ReadingIn(required=False, allow_null=True, default=None)
    purged = WholeIn(min_value=0, max_value=20, default=0, help_text="How often hoses were purged.")
    released = ReadingIn(required=False, allow_null=True, default=None)
    released_why = line(200, "What happened and what was done, when something was released.")
    uncertified = Uncertified()


class JobCharge(ChargeDoor, Shows, JobWrites):
    """The charge as it stands: in the car, still to go, at which reading to stop, which cans to take, the sum. POST
    says what did not stay in the car, and keeps the charge as done."""

    opens = reads(EVERYONE, Scope.JOBS_READ) | BAY_WRITES
    takes = FinishIn
    example = {"hoses": {"value": "6", "unit": "g"}, "purged": 0}

    def thing(self, **named: Any) -> Charging:
        return self.standing()

    def write(self, said: Any, **named: Any) -> Charging:
        rules = self.sheet.rules
        hoses, released = said["hoses"], said["released"]
        kept = charge_in(
            rules,
            hoses=hoses.mass if hoses is not None else grams(rules.hose_allowance_g),
            purged=said["purged"],
            released=released.mass if released is not None else ZERO,
            released_why=said["released_why"],
        )
        finish_charge(self.job, kept, uncertified=said["uncertified"], at=now(), by=self.person)
        return self.standing()
