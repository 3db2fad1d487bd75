"""How the charge of a job and its weigh tickets are told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from compliance.api.job_stages import FindingSaidOut, JobLabelOut, LossesOut
from compliance.core.reconcile import Draw, Losses, Reconciliation
from compliance.models import CanTicket
from compliance.queries import Sheet
from compliance.queries.charge_view import ChargeView, NextCan
from inventory.core.weighing import Origin, Style
from shop.api.fields import MassOut
from shop.core.decision import Verdict
from shop.core.mass import Mass


class JobTicketOut(serializers.Serializer[CanTicket]):
    """A weigh ticket of a can on a job."""

    number = serializers.IntegerField(source="ticket.number")
    container = serializers.CharField(source="ticket.container_id")
    scale = serializers.CharField(source="ticket.scale.code")
    reading = MassOut(source="ticket.reading")
    moment = serializers.ChoiceField(CanTicket.Moment.choices)
    emptied = serializers.BooleanField()
    sealed = serializers.BooleanField(help_text="The seal was unbroken before this weighing.")
    light = serializers.CharField(
        source="light.why", allow_null=True, help_text="short or leaked: why a sealed can was light."
    )
    style = serializers.ChoiceField([one.value for one in Style], source="ticket.style")  # type: ignore[assignment]
    origin = serializers.ChoiceField([one.value for one in Origin], source="ticket.origin")
    uncertified = serializers.CharField(source="hands")
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class DrawOut(serializers.Serializer[Draw]):
    """One can's part of the charge: its first reading less its last."""

    container = serializers.CharField(source="code")
    lot = serializers.CharField()
    before = MassOut(source="before.reading")
    after = MassOut(source="after.reading")
    out = MassOut()
    left = MassOut(help_text="What the book still has in it.")
    heel = MassOut()
    heel_measured = serializers.BooleanField()


class LostOut(serializers.Serializer[Losses]):
    """What left the cans and is not in the car."""

    hoses = MassOut()
    purge = MassOut()
    released = MassOut()
    recovered_back = MassOut()


class ChargeSumOut(serializers.Serializer[Reconciliation]):
    """Cans out = car + hoses + purged + released + recovered back, to the microgram; how sure the car's part is, and
    what that says of the label's tolerance."""

    cans = DrawOut(source="draws", many=True)
    cans_out = MassOut()
    vehicle = MassOut()
    losses = LostOut()
    deviation = MassOut(allow_null=True, help_text="Less what the label asks for.")
    give_or_take = serializers.SerializerMethodField()
    verdict = serializers.ChoiceField([one.value for one in Verdict])
    findings = FindingSaidOut(many=True)

    @extend_schema_field(MassOut(help_text="Twice the standard uncertainty of the car's part, about 95 %."))
    def get_give_or_take(self, sums: Reconciliation) -> Any:
        return MassOut(Mass(round(sums.expanded_g * 1_000_000))).data


class NextCanOut(serializers.Serializer[NextCan]):
    """A can to take next: what it should weigh, and what to take from it."""

    container = serializers.CharField(source="can.code")
    weighs = MassOut()
    take = MassOut()
    empties = serializers.BooleanField()


@dataclass(frozen=True, slots=True)
class Charging:
    """A job's sheet with the charge page's numbers."""

    sheet: Sheet
    view: ChargeView


class JobChargeOut(serializers.Serializer[Charging]):
    """The charge as it stands. What cannot be known without a label is null."""

    refrigerant = serializers.CharField(source="sheet.refrigerant")
    label = JobLabelOut(source="sheet.label", allow_null=True)  # type: ignore[assignment]
    low = MassOut(
        source="view.low",
        allow_null=True,
        help_text="The lower end of the label's band; both ends are the charge where no tolerance is printed.",
    )
    high = MassOut(source="view.high", allow_null=True)
    cans_out = MassOut(source="view.out")
    in_car = MassOut(source="view.in_car")
    to_go = MassOut(source="view.to_go", allow_null=True)
    over = MassOut(source="view.over", allow_null=True, help_text="Beyond the tolerance: over the label by.")
    on_the_car = serializers.CharField(
        source="view.hanging.container.code", allow_null=True, help_text="The can that hangs on it now."
    )
    stop_at = MassOut(
        source="view.stop", allow_null=True, help_text="The reading of the can on the car at which to stop."
    )
    stop_is_enough = serializers.BooleanField(source="view.enough")
    leak_test = MassOut(source="view.leak_test", allow_null=True)
    leak_test_stop_at = MassOut(source="view.leak_test_stop", allow_null=True)
    cans_needed = serializers.IntegerField(source="view.needed", allow_null=True)
    next_cans = NextCanOut(source="view.next_cans", many=True)
    sum = ChargeSumOut(source="view.sums", allow_null=True)
    kept = LossesOut(source="sheet.charge", allow_null=True, help_text="As signed; null before that.")
    by = serializers.SerializerMethodField(help_text="Who signed the charge.")

    def get_by(self, charging: Charging) -> str | None:
        kept: Any = charging.sheet.charge
        return kept.stage.by.name if kept is not None else None
