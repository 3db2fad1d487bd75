"""What the vacuum readings of a job come to: the answer on its page, and the facts of its certificate."""

from __future__ import annotations

from collections.abc import Mapping

from compliance.core.certificate_facts import EvacuationFacts
from compliance.core.evacuation import VacuumReadings, told
from compliance.core.evacuation_words import evacuation_answer, vacuum_facts
from compliance.core.stages import Outcome, StageKind
from compliance.models import Draft, Stage
from compliance.queries.facts import local
from compliance.queries.sheets import Sheet
from shop.core.answer import Answer
from shop.core.clock import pressed_instant
from shop.core.conditions import conditions
from shop.core.gauge import with_unit


def vacuum_answer(sheet: Sheet, draft: Draft | None) -> Answer | None:
    """What the draft's readings tell, else those of the last evacuation; None before a deepest reading was typed."""
    readings = _typed(draft.typed) if draft is not None else VacuumReadings()
    if not readings.deepest:
        done = [stage for stage in sheet.of(StageKind.EVACUATION) if stage.outcome == Outcome.DONE]
        if not done:
            return None
        readings = done[-1].evacuation.readings
    return evacuation_answer(told(readings, conditions(sheet.rules)))


def evacuation_facts(sheet: Sheet, stage: Stage, *, by: str) -> EvacuationFacts:
    """Readings as typed, and what they come to under the shop rules of the job's day."""
    one, shop = stage.evacuation, sheet.job.establishment
    return EvacuationFacts(
        by=by,
        pump=one.pump,
        started=local(shop, one.started_at).isoformat(timespec="minutes"),
        stopped=local(shop, one.stopped_at).isoformat(timespec="minutes"),
        minutes=one.minutes,
        deepest=one.deepest,
        hold_minutes=one.hold_minutes,
        hold_from=one.hold_from,
        hold_to=one.hold_to,
        result=one.result,
        gauge=one.gauge,
        hold_middle=one.hold_middle,
        barometer=one.barometer,
        temperature=one.temperature,
        vacuum=vacuum_facts(told(one.readings, conditions(sheet.rules))),
    )


def _typed(typed: Mapping[str, object]) -> VacuumReadings:
    """A draft's readings, each with the unit that stood beside it."""

    def reading(name: str) -> str:
        return with_unit(str(typed.get(name) or ""), str(typed.get(f"{name}_unit") or ""))

    return VacuumReadings(
        reading("deepest"),
        reading("hold_from"),
        reading("hold_middle"),
        reading("hold_to"),
        _minutes(typed),
        gauge=str(typed.get("gauge") or ""),
        barometer=reading("barometer"),
        temperature=reading("temperature"),
    )


def _minutes(typed: Mapping[str, object]) -> int:
    """Of the hold: by hand, else by its clock."""
    by_hand = str(typed.get("hold_minutes") or "").strip()
    if by_hand.isdecimal():
        return int(by_hand[:5])
    began, ended = (pressed_instant(typed.get(f"hold_{end}_at_instant")) for end in ("started", "stopped"))
    return (
        max(int((ended - began).total_seconds() // 60), 0) if began is not None and ended is not None else 0
    )
