"""The stages of an open job: done, not needed because, or stopped."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import Max

from compliance.core.final_readings import Typed, typed_problems
from compliance.core.stages import NEED_A_CARD, LeakResult, Outcome, StageKind
from compliance.models import (
    Closing,
    Draft,
    FinalReadings,
    Job,
    LeakCheck,
    Stage,
    UncertifiedWork,
)
from compliance.queries.facts import local
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person
from shop.queries import work_day


@dataclass(frozen=True, slots=True)
class LeakCheckIn:
    methods: tuple[str, ...]
    places: tuple[str, ...]
    result: str
    instrument: str = ""
    detail: str = ""


@dataclass(frozen=True, slots=True)
class FinalReadingsIn:
    caps_on: bool
    low_side: str = ""
    high_side: str = ""
    vent: str = ""
    outdoor: str = ""
    humidity: str = ""
    engine: str = ""
    blower: str = ""
    mode: str = ""
    note: str = ""
    inlet: str = ""
    minutes: int | None = None


def hold(job: Job) -> None:
    """Lock the job's row: what is looked at afterwards stays so until the transaction ends."""
    Job.objects.select_for_update(no_key=True).get(pk=job.pk)


def still_open(job: Job) -> list[Finding]:
    """What stands against writing on this job: its closing."""
    if not Closing.objects.filter(job=job).exists():
        return []
    sentence = phrase("{job} is closed. A change needs a correction slip.", job=job.number)
    return [blocked("job-closed", sentence)]


def before_the_car(job: Job, moment: datetime, field: str) -> list[Finding]:
    """Work that a clock time puts days before its car came in. A few are let pass: a car may be written down late."""
    if job.at - moment <= timedelta(days=4):
        return []
    return [blocked("before-the-car", phrase("That is days before the car came in. Check the day."), field)]


def write_stage(
    job: Job,
    kind: StageKind,
    outcome: Outcome = Outcome.DONE,
    *,
    reason: str = "",
    turn: int = 1,
    uncertified: str = "",
    at: datetime,
    by: Person,
) -> Stage:
    """One more version of a stage. Refused on a closed job, or when who signs has no 609 card in force for it.

    ``uncertified`` names somebody without a 609 card who did the work: then the stage says so, and whoever signs only
    wrote it down.
    """
    hold(job)
    found = still_open(job)
    if kind in NEED_A_CARD and outcome is Outcome.DONE and not uncertified.strip():
        found += work_day(by, local(job.establishment, at).date()).findings
    refuse_if_blocked(found)
    earlier = (
        Stage.objects.filter(job=job, kind=kind, turn=turn).aggregate(newest=Max("version"))["newest"] or 0
    )
    Draft.objects.filter(job=job, kind=kind).delete()
    stage = Stage.objects.create(
        job=job, kind=kind, turn=turn, version=earlier + 1, outcome=outcome, reason=reason, at=at, by=by
    )
    if uncertified.strip():
        UncertifiedWork.objects.create(stage=stage, name=uncertified.strip())
    return stage


@transaction.atomic
def skip_stage(
    job: Job, kind: StageKind, outcome: Outcome, *, reason: str, at: datetime, by: Person
) -> Stage:
    """Say that a stage is not needed, or was stopped, and why."""
    found = []
    if kind is StageKind.CHECK_IN or outcome is Outcome.DONE:
        found.append(
            blocked("stage-not-skipped", phrase("{label} cannot be left out.", label=kind.label), "reason")
        )
    if len(reason.strip()) < 3:
        found.append(blocked("reason-empty", phrase("Say why in a few words."), "reason"))
    refuse_if_blocked(found)
    return write_stage(job, kind, outcome, reason=reason.strip(), at=at, by=by)


@transaction.atomic
def save_draft(job: Job, kind: StageKind, typed: dict[str, Any], *, at: datetime, by: Person) -> Draft:
    """Keep what was typed so far; nothing of it is a record yet."""
    draft, _ = Draft.objects.update_or_create(
        job=job, kind=kind, defaults={"typed": typed, "saved_at": at, "by": by}
    )
    return draft


@transaction.atomic
def record_leak_check(
    job: Job, check: LeakCheckIn, *, uncertified: str = "", at: datetime, by: Person
) -> LeakCheck:
    """What was looked at, with what, and what was seen. Each check is one more pass."""
    found = []
    if check.result != LeakResult.NOT_TESTED and not check.methods:
        found.append(blocked("method-empty", phrase("Tick how it was looked for."), "methods"))
    if check.result != LeakResult.NOT_TESTED and not check.places:
        found.append(blocked("places-empty", phrase("Tick where it was looked for."), "places"))
    if "electronic detector" in check.methods and not check.instrument.strip():
        found.append(blocked("instrument-empty", phrase("Say which detector was used."), "instrument"))
    if check.result != LeakResult.NONE_SEEN and not check.detail.strip():
        found.append(
            blocked(
                "detail-empty",
                phrase("Say where the leak is and how big, or why it was not tested."),
                "detail",
            )
        )
    refuse_if_blocked(found)
    turn = (job.stages.filter(kind=StageKind.LEAK_CHECK).aggregate(newest=Max("turn"))["newest"] or 0) + 1
    stage = write_stage(job, StageKind.LEAK_CHECK, turn=turn, uncertified=uncertified, at=at, by=by)
    return LeakCheck.objects.create(
        stage=stage,
        methods=", ".join(check.methods),
        instrument=check.instrument.strip(),
        places=", ".join(check.places),
        result=check.result,
        detail=check.detail.strip(),
    )


@transaction.atomic
def record_repair(job: Job, *, what: str, uncertified: str = "", at: datetime, by: Person) -> Stage:
    """What was repaired, in words."""
    if len(what.strip()) < 3:
        refuse_if_blocked([blocked("repair-empty", phrase("Say what was repaired."), "what")])
    return write_stage(job, StageKind.REPAIR, reason=what.strip(), uncertified=uncertified, at=at, by=by)


@transaction.atomic
def record_final_readings(job: Job, readings: FinalReadingsIn, *, at: datetime, by: Person) -> FinalReadings:
    """Log the final readings as read. Only what no gauge shows is refused: the weighed mass is the evidence of
    charge, so that no reading stands in the way."""
    typed = Typed(
        readings.vent,
        readings.inlet,
        readings.outdoor,
        readings.humidity,
        readings.low_side,
        readings.high_side,
    )
    found = typed_problems(typed)
    if not readings.caps_on and typed == Typed():
        sentence = phrase("Type at least one reading, or leave this stage out and say why.")
        found.append(blocked("readings-empty", sentence, "vent"))
    refuse_if_blocked(found)
    stage = write_stage(job, StageKind.FINAL_READINGS, at=at, by=by)
    return FinalReadings.objects.create(
        stage=stage,
        low_side=readings.low_side,
        high_side=readings.high_side,
        vent=readings.vent,
        outdoor=readings.outdoor,
        humidity=readings.humidity,
        engine=readings.engine,
        blower=readings.blower,
        mode=readings.mode,
        caps_on=readings.caps_on,
        inlet=readings.inlet,
        minutes=readings.minutes,
        note=readings.note,
    )
