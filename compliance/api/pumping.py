"""Evacuation and the leak test: gauges, and clock times with their zone."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _
from rest_framework import serializers

from compliance.api.job_door import Uncertified, line
from compliance.api.stages import SignsStage
from compliance.core.stages import HoldResult, PressureResult
from compliance.models import Stage
from compliance.services import EvacuationIn, HoldIn, LeakTestIn, record_evacuation, record_leak_test
from shop.api.fields import MomentIn, WholeIn
from shop.api.gauges import BarometerIn, PressureIn, TemperatureIn, VacuumIn
from shop.http import now
from shop.models import Equipment
from shop.queries import in_service

MACHINES_OWN = "machine"  # the recovery machine's own pump


class ClockIn(serializers.Serializer[Any]):
    """A hold timed by the clock."""

    started_at = MomentIn()
    stopped_at = MomentIn()

    def to_internal_value(self, data: Any) -> Any:
        return HoldIn(**super().to_internal_value(data))


class PumpField(serializers.CharField):
    """A vacuum pump in service on the day of the job, by its code, or "machine"."""

    default_error_messages = {"unknown": _("Nothing here is called “{value}”.")}

    def to_internal_value(self, data: Any) -> Any:
        code, job = super().to_internal_value(data), self.context["view"].job
        pumps = in_service(job.establishment, job.on, Equipment.Kind.PUMP)
        if code != MACHINES_OWN and not pumps.filter(code=code).exists():
            self.fail("unknown", value=code)
        return code


class EvacuateIn(serializers.Serializer[Any]):
    """Pump, clock times, readings. A hold has its clock times in ``hold``, or its minutes in ``hold_minutes``, which
    count before the clock."""

    pump = PumpField(max_length=40, help_text="Its code, or machine for the recovery machine's own pump.")
    gauge = line(40, "Which gauge was read, for example electronic gauge VG-1.")
    started_at = MomentIn()
    stopped_at = MomentIn()
    deepest = VacuumIn()
    result = serializers.ChoiceField([one.value for one in HoldResult])
    hold = ClockIn(required=False, allow_null=True, default=None)
    hold_minutes = WholeIn(min_value=0, max_value=5760, default=0)
    hold_from = VacuumIn(required=False)
    hold_middle = VacuumIn(required=False)
    hold_to = VacuumIn(required=False)
    barometer = BarometerIn(required=False)
    temperature = TemperatureIn(required=False)
    uncertified = Uncertified()

    def validate(self, attrs: Any) -> Any:
        return attrs | {"hold": None if attrs["hold_minutes"] else attrs["hold"]}


OF_THE_CLOCK = {"hold_started_at": "hold.started_at", "hold_stopped_at": "hold.stopped_at"}


class Evacuations(SignsStage):
    """The evacuation of a job and its vacuum hold. What a gauge cannot have shown under the air of the place is
    refused."""

    takes = EvacuateIn
    named = OF_THE_CLOCK
    example = {
        "pump": "VP-1",
        "started_at": "2024-04-02T12:30:00-06:00",
        "stopped_at": "2024-04-02T13:05:00-06:00",
        "deepest": {"value": "600", "unit": "micron"},
        "result": "held",
        "hold_minutes": 15,
        "hold_from": {"value": "600", "unit": "micron"},
        "hold_to": {"value": "720", "unit": "micron"},
    }

    def write(self, said: Any, **named: Any) -> Stage:
        uncertified = said.pop("uncertified")
        kept = record_evacuation(
            self.job, EvacuationIn(**said), uncertified=uncertified, at=now(), by=self.person
        )
        return self.signed(kept.stage)


class HoldTestIn(serializers.Serializer[Any]):
    """The hold under the leak-test charge: its clock times in ``hold``, or its ``minutes``, which count before the
    clock."""

    result = serializers.ChoiceField([one.value for one in PressureResult])
    hold = ClockIn(required=False, allow_null=True, default=None)
    minutes = WholeIn(min_value=0, max_value=2880, required=False, allow_null=True, default=None)
    pressure_start = PressureIn(required=False)
    pressure_end = PressureIn(required=False)
    temperature = TemperatureIn(required=False)
    temperature_end = TemperatureIn(required=False)
    barometer = BarometerIn(required=False)
    uncertified = Uncertified()

    def validate(self, attrs: Any) -> Any:
        if attrs["minutes"] is None and attrs["hold"] is None:
            sentence = _("Say both ends of the hold, or its minutes.")
            raise serializers.ValidationError({"minutes": [sentence]}, code="required")
        return attrs | {
            "hold": None if attrs["minutes"] else attrs["hold"],
            "minutes": attrs["minutes"] or 0,
        }


class LeakTests(SignsStage):
    """The leak test of a job: the hold of pressure under the leak-test charge, which was weighed first."""

    takes = HoldTestIn
    named = OF_THE_CLOCK
    example = {
        "result": "no change seen on the gauge",
        "minutes": 20,
        "pressure_start": {"value": "60", "unit": "psi"},
        "pressure_end": {"value": "60", "unit": "psi"},
        "temperature": {"value": "72", "unit": "°F"},
    }

    def write(self, said: Any, **named: Any) -> Stage:
        uncertified = said.pop("uncertified")
        kept = record_leak_test(
            self.job, LeakTestIn(**said), uncertified=uncertified, at=now(), by=self.person
        )
        return self.signed(kept.stage)
