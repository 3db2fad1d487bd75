"""How the stages of a job are told."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from compliance.core.stages import (
    HoldResult,
    Identified,
    LabelSource,
    LeakResult,
    Outcome,
    PressureResult,
    StageKind,
)
from compliance.models import (
    Charge,
    CheckIn,
    Evacuation,
    FinalReadings,
    Hold,
    Label,
    LeakCheck,
    LeakTest,
    Recovery,
    Retrofit,
    Stage,
)
from compliance.queries.facts import recovered
from shop.api.fields import MassOut
from shop.api.gauges import GaugeOut
from shop.api.problems import FindingOut
from shop.core.answer import Answer
from shop.core.findings import Finding
from shop.http import say


class JobLabelOut(serializers.Serializer[Label]):
    """What the label under the hood asks for; no tolerance where none is printed."""

    charge = MassOut(source="*", typed=("charge_text", "charge_unit", "charge"))
    tolerance = MassOut(source="*", typed=("tolerance_text", "tolerance_unit", "tolerance"), allow_null=True)
    source = serializers.ChoiceField([one.value for one in LabelSource])  # type: ignore[assignment]
    source_note = serializers.CharField()


class RetrofitOut(serializers.Serializer[Retrofit]):
    """Which of three things were found on a car that was changed to another refrigerant."""

    labelled = serializers.BooleanField()
    fittings = serializers.BooleanField()
    removed = serializers.BooleanField()


class JobCheckInOut(serializers.Serializer[CheckIn]):
    """The check-in that holds. Without a label the target is unknown: such a job is recovered, not charged."""

    customer = serializers.CharField()
    phone = serializers.CharField()
    plate = serializers.CharField()
    odometer = serializers.CharField()
    complaint = serializers.CharField()
    repair_order = serializers.CharField()
    refrigerant = serializers.CharField(source="refrigerant_id")
    compressor = serializers.CharField()
    unit_kind = serializers.CharField()
    rear_air = serializers.BooleanField()
    elsewhere = serializers.CharField()
    label = JobLabelOut(source="stage.label", default=None, allow_null=True)  # type: ignore[assignment]
    retrofit = RetrofitOut(source="stage.retrofit", default=None, allow_null=True)


class RecoveryOut(serializers.Serializer[Recovery]):
    """What came out of the car into a cylinder; its two readings are weigh tickets of that cylinder."""

    machine = serializers.CharField(source="machine.code")
    cylinder = serializers.CharField(source="cylinder_id")
    before = MassOut(source="before.reading")
    before_ticket = serializers.IntegerField(source="before.number")
    after = MassOut(source="after.reading")
    after_ticket = serializers.IntegerField(source="after.number")
    out = serializers.SerializerMethodField()
    started_at = serializers.DateTimeField()
    gauge = GaugeOut()
    bay = GaugeOut()
    identified = serializers.ChoiceField([one.value for one in Identified])
    note = serializers.CharField()

    @extend_schema_field(MassOut())
    def get_out(self, recovery: Recovery) -> Any:
        return MassOut(recovered(recovery)).data


class LeakCheckOut(serializers.Serializer[LeakCheck]):
    """Where and how a leak was looked for, and what was seen."""

    methods = serializers.CharField()
    instrument = serializers.CharField()
    places = serializers.CharField()
    result = serializers.ChoiceField([one.value for one in LeakResult])
    detail = serializers.CharField()


class EvacuationOut(serializers.Serializer[Evacuation]):
    """Pump, clock times and vacuum readings as typed."""

    pump = serializers.CharField()
    gauge = serializers.CharField()
    started_at = serializers.DateTimeField()
    stopped_at = serializers.DateTimeField()
    minutes = serializers.IntegerField()
    deepest = GaugeOut()
    hold_minutes = serializers.IntegerField()
    hold_from = GaugeOut()
    hold_middle = GaugeOut()
    hold_to = GaugeOut()
    result = serializers.ChoiceField([one.value for one in HoldResult])
    barometer = GaugeOut()
    temperature = GaugeOut()


class LeakTestOut(serializers.Serializer[LeakTest]):
    """The hold under the leak-test charge; its grams are on the can's tickets."""

    minutes = serializers.IntegerField()
    pressure_start = GaugeOut()
    pressure_end = GaugeOut()
    temperature = GaugeOut()
    temperature_end = GaugeOut()
    barometer = GaugeOut()
    result = serializers.ChoiceField([one.value for one in PressureResult])


class ClockedOut(serializers.Serializer[Hold]):
    """A hold that was timed by the clock."""

    started_at = serializers.DateTimeField()
    stopped_at = serializers.DateTimeField()


class LossesOut(serializers.Serializer[Charge]):
    """What left the cans and did not stay in the car, as signed."""

    hoses = MassOut()
    hoses_give_or_take = MassOut()
    purge = MassOut()
    released = MassOut()
    released_why = serializers.CharField()


class FinalReadingsOut(serializers.Serializer[FinalReadings]):
    """The gauges at the end, as typed."""

    low_side = GaugeOut()
    high_side = GaugeOut()
    vent = GaugeOut()
    inlet = GaugeOut()
    outdoor = GaugeOut()
    humidity = GaugeOut()
    engine = GaugeOut()
    blower = serializers.CharField()
    mode = serializers.CharField()
    minutes = serializers.IntegerField(allow_null=True)
    caps_on = serializers.BooleanField()
    note = serializers.CharField()


class StageOut(serializers.Serializer[Stage]):
    """One pass of a stage: how it was left and who signed it. ``reason`` says why it was not done, or what was
    repaired; of the parts below only that of its kind is there."""

    kind = serializers.ChoiceField([one.value for one in StageKind])
    turn = serializers.IntegerField(help_text="1 is the first pass.")
    version = serializers.IntegerField(help_text="How often this pass was written down.")
    outcome = serializers.ChoiceField([one.value for one in Outcome])
    reason = serializers.CharField()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")
    uncertified = serializers.CharField(
        source="uncertified.name", allow_null=True, help_text="Who did it without a 609 card."
    )
    recovery = RecoveryOut(default=None, allow_null=True)
    leak_check = LeakCheckOut(source="leakcheck", default=None, allow_null=True)
    evacuation = EvacuationOut(default=None, allow_null=True)
    leak_test = LeakTestOut(source="leaktest", default=None, allow_null=True)
    hold = ClockedOut(default=None, allow_null=True)
    losses = LossesOut(source="charge", default=None, allow_null=True)
    final_readings = FinalReadingsOut(source="finalreadings", default=None, allow_null=True)


class WorkedNumberOut(serializers.Serializer[Any]):
    """A number with its unit, and what it is."""

    what = serializers.CharField()
    value = serializers.CharField()


class WorkedOut(serializers.Serializer[Answer]):
    """What readings can tell, in words: the answer, what follows from it, the numbers behind it and their sources."""

    headline = serializers.CharField()
    says = serializers.ListField(child=serializers.CharField())
    numbers = WorkedNumberOut(many=True)
    weight = serializers.ChoiceField(["note", "warns", "blocks"])
    judges = serializers.BooleanField(help_text="False: nobody may read it as a pass.")
    basis = serializers.CharField()

    def to_representation(self, instance: Answer) -> Any:
        return {
            "headline": say(instance.headline),
            "says": [say(one) for one in instance.says],
            "numbers": [{"what": say(what), "value": say(value)} for what, value in instance.numbers],
            "weight": instance.weight.value,
            "judges": instance.judges,
            "basis": say(instance.basis),
        }


class FindingSaidOut(FindingOut):
    """A finding that no request was refused for."""

    field = serializers.CharField(help_text="The stage, container or reading that it speaks of, or empty.")

    def to_representation(self, instance: Finding) -> Any:
        return {
            "code": instance.code,
            "field": instance.field,
            "sentence": say(instance.message),
            "weight": instance.weight.value,
            "basis": say(instance.basis),
        }


class SignedStageOut(StageOut):
    """A stage as it was just signed, with what its readings tell and what looks odd about them."""

    answers = WorkedOut(many=True)
    findings = FindingSaidOut(many=True)
