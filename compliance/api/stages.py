"""The stages that need no gauge of vacuum or pressure: recovery, leak check, repair, final readings, left out."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from compliance.api.job_door import ContainerOf, InService, JobDoor, JobWrites, Uncertified, line
from compliance.api.job_stages import SignedStageOut
from compliance.core.stages import (
    AIR_MODES,
    BLOWER_SPEEDS,
    LEAK_METHODS,
    LEAK_PLACES,
    LEAK_SIZES,
    Identified,
    LeakResult,
    Outcome,
    StageKind,
)
from compliance.models import Stage
from compliance.queries.stage_answers import stage_answers, stage_findings
from compliance.services import (
    FinalReadingsIn,
    LeakCheckIn,
    RecoveryIn,
    record_final_readings,
    record_leak_check,
    record_recovery,
    record_repair,
    skip_stage,
)
from shop.api.base import writes
from shop.api.fields import FewOf, MomentIn, ReadingIn, WholeIn, on_scale
from shop.api.gauges import HumidityIn, PressureIn, SpeedIn, TemperatureIn
from shop.core.scopes import Scope
from shop.http import now
from shop.permissions import OWNER, TECHNICIAN

BAY_WRITES = writes((TECHNICIAN, OWNER), Scope.JOBS_WRITE)


class SignsStage(JobDoor, JobWrites):
    """A stage that is signed in the name of the key's person, who holds a 609 card in force where it needs one."""

    opens = BAY_WRITES
    gives = SignedStageOut

    def signed(self, written: Stage) -> Stage:
        """The stage as the job sheet has it now."""
        sheet, kind = self.sheet, StageKind(written.kind)
        stage = next(one for one in sheet.written if one.pk == written.pk)
        stage.answers = stage_answers(sheet, kind, None)  # type: ignore[attr-defined]
        stage.findings = stage_findings(sheet, kind)  # type: ignore[attr-defined]
        return stage


class Words(FewOf):
    """Some words of a list, each once, in the order given."""

    def __init__(self, words: tuple[str, ...], **rest: Any) -> None:
        child = serializers.ChoiceField([str(one) for one in words])
        super().__init__(child=child, required=False, default=list, max_length=len(words), **rest)

    def to_internal_value(self, data: Any) -> Any:
        return tuple(dict.fromkeys(super().to_internal_value(data)))


class RecoverIn(serializers.Serializer[Any]):
    """The cylinder on the scale before and after. Nothing came out: the same reading twice, and the gauge before."""

    machine = InService("machine")
    cylinder = ContainerOf()
    scale = InService("scale")
    before = ReadingIn()
    after = ReadingIn()
    started_at = MomentIn()
    identified = serializers.ChoiceField([one.value for one in Identified], default=Identified.NOT_USED.value)
    gauge = PressureIn(required=False)
    bay = TemperatureIn(required=False)
    note = line(200)
    uncertified = Uncertified()

    def validate(self, attrs: Any) -> Any:
        return attrs | {
            name: on_scale(attrs["scale"], attrs[name], field=name) for name in ("before", "after")
        }


class Recoveries(SignsStage):
    """One more recovery of a job, weighed in its cylinder before and after. 0 g out is a recovery too."""

    takes = RecoverIn
    example = {
        "machine": "RE-1",
        "cylinder": "RC-02",
        "scale": "SC-1",
        "before": {"value": "7966", "unit": "g"},
        "after": {"value": "8000", "unit": "g"},
        "started_at": "2024-04-02T12:05:00-06:00",
        "gauge": {"value": "78", "unit": "psi"},
    }

    def write(self, said: Any, **named: Any) -> Stage:
        uncertified = said.pop("uncertified")
        recovery = RecoveryIn(**said | {"identified": Identified(said["identified"])})
        kept = record_recovery(self.job, recovery, uncertified=uncertified, at=now(), by=self.person)
        return self.signed(kept.stage)


class LookIn(serializers.Serializer[Any]):
    """How and where a leak was looked for, and what was seen."""

    result = serializers.ChoiceField([one.value for one in LeakResult])
    methods = Words(LEAK_METHODS)
    instrument = InService("detector", required=False, allow_blank=True, allow_null=True, default=None)
    places = Words(LEAK_PLACES)
    size = serializers.ChoiceField(
        [str(one) for one in LEAK_SIZES], required=False, allow_blank=True, default=""
    )
    detail = line(280, "Where the leak is, or why it was not tested.")
    uncertified = Uncertified()


class LeakChecks(SignsStage):
    """One more leak check of a job. A leak that was found is answered by a repair, another check, or the end."""

    takes = LookIn
    example = {
        "result": "no leak seen",
        "methods": ["eyes", "electronic detector"],
        "instrument": "LD-1",
        "places": ["compressor", "hoses"],
    }

    def write(self, said: Any, **named: Any) -> Stage:
        used = said["instrument"] if "electronic detector" in said["methods"] else None
        detail = ", ".join(part for part in (said["detail"].strip(), said["size"]) if part)
        code = used.code if used is not None else ""
        check = LeakCheckIn(said["methods"], said["places"], said["result"], code, detail)
        kept = record_leak_check(self.job, check, uncertified=said["uncertified"], at=now(), by=self.person)
        return self.signed(kept.stage)


class MendIn(serializers.Serializer[Any]):
    """What was repaired, in words."""

    what = serializers.CharField(max_length=300)
    uncertified = Uncertified()


class Repairs(SignsStage):
    """What was repaired on a job."""

    takes = MendIn
    example = {"what": "condenser renewed"}

    def write(self, said: Any, **named: Any) -> Stage:
        return self.signed(record_repair(self.job, **said, at=now(), by=self.person))


class ReadAtTheEndIn(serializers.Serializer[Any]):
    """The gauges at the end. The weighed mass is the evidence of charge, so no reading stands in the way."""

    vent = TemperatureIn(required=False)
    inlet = TemperatureIn(required=False)
    outdoor = TemperatureIn(required=False)
    humidity = HumidityIn(required=False)
    low_side = PressureIn(required=False)
    high_side = PressureIn(required=False)
    mode = serializers.ChoiceField(
        [str(one) for one in AIR_MODES], required=False, allow_blank=True, default=""
    )
    blower = serializers.ChoiceField(
        [str(one) for one in BLOWER_SPEEDS], required=False, allow_blank=True, default=""
    )
    engine = SpeedIn(required=False)
    minutes = WholeIn(min_value=0, max_value=600, required=False, allow_null=True, default=None)
    caps_on = serializers.BooleanField(default=False)
    note = line(200)


class FinalReadingsOfJob(SignsStage):
    """The final readings of a job, as read."""

    takes = ReadAtTheEndIn
    example = {
        "vent": {"value": "44", "unit": "°F"},
        "low_side": {"value": "32", "unit": "psi"},
        "high_side": {"value": "190", "unit": "psi"},
        "caps_on": True,
    }

    def write(self, said: Any, **named: Any) -> Stage:
        kept = record_final_readings(self.job, FinalReadingsIn(**said), at=now(), by=self.person)
        return self.signed(kept.stage)


LEFT_OUT = [one.value for one in StageKind if one is not StageKind.CHECK_IN]


class LeaveOutIn(serializers.Serializer[Any]):
    """A stage that is not needed or was stopped, and why."""

    stage = serializers.ChoiceField(LEFT_OUT)
    outcome = serializers.ChoiceField(
        [Outcome.NOT_NEEDED.value, Outcome.STOPPED.value], default=Outcome.NOT_NEEDED.value
    )
    reason = serializers.CharField(max_length=300)


class LeavingOut(SignsStage):
    """Say of a stage of a job that it is not needed, or was stopped, and why."""

    takes = LeaveOutIn
    example = {"stage": "leak-test", "reason": "the detector found nothing"}

    def write(self, said: Any, **named: Any) -> Stage:
        kind, outcome = StageKind(said["stage"]), Outcome(said["outcome"])
        left = skip_stage(self.job, kind, outcome, reason=said["reason"], at=now(), by=self.person)
        return self.signed(left)
