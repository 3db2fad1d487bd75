"""Evacuation and the two holds, timed by the clock."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypeVar

from django.db import transaction

from compliance.core.evacuation import told
from compliance.core.hold_readings import HoldTyped, hold_problems
from compliance.core.stage_rules import STAGES, TERMS
from compliance.core.stages import StageKind
from compliance.models import Evacuation, Hold, Job, LeakTest, Stage
from compliance.queries.facts import checked_in_refrigerant
from compliance.queries.leak_view import UNWEIGHED
from compliance.services.stages import write_stage
from shop.core.clock import milliseconds
from shop.core.conditions import conditions, with_barometer
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.rule_rows import Look
from shop.models import Person
from shop.queries import rules_on


@dataclass(frozen=True, slots=True)
class HoldIn:
    """A hold timed by the clock. Instants, so that midnight and a change of the clocks do not matter."""

    started_at: datetime
    stopped_at: datetime

    @property
    def minutes(self) -> int:
        return int((self.stopped_at - self.started_at).total_seconds() // 60)


@dataclass(frozen=True, slots=True)
class EvacuationIn:
    """Gauge readings are text with their unit, as read: "29.2 inHg", "600 micron"; ``hold_middle`` half way through the
    hold. ``hold`` is None when only its minutes were typed."""

    pump: str
    started_at: datetime
    stopped_at: datetime
    deepest: str
    result: str
    gauge: str = ""
    hold_minutes: int = 0
    hold_from: str = ""
    hold_to: str = ""
    hold: HoldIn | None = None
    hold_middle: str = ""
    barometer: str = ""
    temperature: str = ""


@dataclass(frozen=True, slots=True)
class LeakTestIn:
    minutes: int
    result: str
    pressure_start: str = ""
    pressure_end: str = ""
    temperature: str = ""
    temperature_end: str = ""
    barometer: str = ""
    hold: HoldIn | None = None


Timed = TypeVar("Timed", EvacuationIn, LeakTestIn)


@transaction.atomic
def record_evacuation(
    job: Job, evacuation: EvacuationIn, *, uncertified: str = "", at: datetime, by: Person
) -> Evacuation:
    """Start, stop, deepest reading, hold. Minutes come from the clock times. A reading that cannot be under the air of
    the place is refused."""
    evacuation = _timed(evacuation)
    row = _evacuation_row(evacuation)
    here = conditions(rules_on(job.establishment, job.on))
    found = Look(TERMS, _evacuation_facts(evacuation, at)).judge(STAGES[StageKind.EVACUATION])
    refuse_if_blocked([*found, *told(row.readings, here).findings])
    row.stage = write_stage(job, StageKind.EVACUATION, uncertified=uncertified, at=at, by=by)
    _keep_hold(row.stage, evacuation.hold)
    row.save(force_insert=True)
    return row


@transaction.atomic
def record_leak_test(
    job: Job, test: LeakTestIn, *, uncertified: str = "", at: datetime, by: Person
) -> LeakTest:
    """The hold under the leak-test charge. Its grams come from the can's tickets."""
    test = _timed(test)
    facts = _hold_facts(test.hold, at) | {"minutes": test.minutes}
    found = [*Look(TERMS, facts).judge(STAGES[StageKind.LEAK_TEST]), *_reading_problems(job, test)]
    if not job.can_tickets.filter(moment="leak test").exists():
        found.append(blocked("leak-test-unweighed", UNWEIGHED, "minutes"))
    refuse_if_blocked(found)
    stage = write_stage(job, StageKind.LEAK_TEST, uncertified=uncertified, at=at, by=by)
    _keep_hold(stage, test.hold)
    return LeakTest.objects.create(
        stage=stage,
        minutes=test.minutes,
        pressure_start=test.pressure_start,
        pressure_end=test.pressure_end,
        temperature=test.temperature,
        temperature_end=test.temperature_end,
        barometer=test.barometer,
        result=test.result,
    )


def _evacuation_row(evacuation: EvacuationIn) -> Evacuation:
    """As it will be kept, not yet written."""
    return Evacuation(
        pump=evacuation.pump,
        gauge=evacuation.gauge,
        started_at=evacuation.started_at,
        stopped_at=evacuation.stopped_at,
        deepest=evacuation.deepest,
        hold_minutes=evacuation.hold_minutes,
        hold_from=evacuation.hold_from,
        hold_middle=evacuation.hold_middle,
        hold_to=evacuation.hold_to,
        result=evacuation.result,
        barometer=evacuation.barometer,
        temperature=evacuation.temperature,
    )


def _timed(said: Timed) -> Timed:
    """With its minutes from the clock, when the clock was used."""
    if said.hold is None:
        return said
    if isinstance(said, EvacuationIn):
        return replace(said, hold_minutes=max(said.hold.minutes, 0))
    return replace(said, minutes=max(said.hold.minutes, 0))


def _reading_problems(job: Job, test: LeakTestIn) -> list[Finding]:
    """What gauge, thermometer and barometer cannot have shown."""
    here, found = with_barometer(conditions(rules_on(job.establishment, job.on)), test.barometer)
    typed = HoldTyped(
        refrigerant=checked_in_refrigerant(job),
        minutes=test.minutes,
        pressure_start=test.pressure_start,
        temperature=test.temperature,
        pressure_end=test.pressure_end,
        temperature_end=test.temperature_end,
    )
    return [*found, *hold_problems(typed, here)]


def _hold_facts(hold: HoldIn | None, at: datetime) -> dict[str, object]:
    facts: dict[str, object] = {"now": milliseconds(at)}
    if hold is not None:
        facts |= {
            "hold_started_at": milliseconds(hold.started_at),
            "hold_stopped_at": milliseconds(hold.stopped_at),
        }
    return facts


def _keep_hold(stage: Stage, hold: HoldIn | None) -> None:
    if hold is not None:
        Hold.objects.create(stage=stage, started_at=hold.started_at, stopped_at=hold.stopped_at)


def _evacuation_facts(evacuation: EvacuationIn, at: datetime) -> dict[str, object]:
    return {
        **_hold_facts(evacuation.hold, at),
        "started_at": milliseconds(evacuation.started_at),
        "stopped_at": milliseconds(evacuation.stopped_at),
        "deepest": evacuation.deepest.strip(),
        "hold_minutes": evacuation.hold_minutes,
        "hold_from": evacuation.hold_from,
        "hold_to": evacuation.hold_to,
        "result": evacuation.result,
    }
