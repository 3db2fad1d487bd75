"""The final readings of a job, worked out: for its stage page, and for its certificate."""

from __future__ import annotations

from collections.abc import Mapping

from compliance.core.certificate_facts import FinalWorkedFacts, TableLineFacts
from compliance.core.final_readings import Typed, Worked, readings, work_out
from compliance.core.final_words import degrees, degrees_apart, final_answer, in_table
from compliance.core.makers_table import (
    Against,
    Compared,
    MakersTable,
    Quantity,
    compared,
    has_bands,
)
from compliance.core.stages import Outcome, StageKind
from compliance.models import Draft, FinalReadings, Stage
from compliance.queries.makers_tables import makers_tables
from compliance.queries.sheets import Sheet
from inventory.core.properties import EQUATIONS, FLUIDS
from shop.core.answer import Answer
from shop.core.conditions import Conditions, conditions
from shop.core.days import said_day_of_year
from shop.core.decision import combined
from shop.core.findings import Finding
from shop.core.gauge import DEGREES_C, shown
from shop.core.phrase import joined, phrase, word

EARLIER = 5  # visits that are listed
READ = ("vent", "inlet", "outdoor", "humidity", "low_side", "high_side")


def typed_in(kept: Mapping[str, object]) -> Typed:
    """What a draft kept: a number beside its unit, or a number that was typed with one."""
    return Typed(**{name: _with_unit(kept, name) for name in READ})


def _with_unit(kept: Mapping[str, object], name: str) -> str:
    text, unit = (str(kept.get(key) or "").strip() for key in (name, f"{name}_unit"))
    return text if not text or shown(text) is not None else f"{text} {unit}".strip()


def typed_of(seen: FinalReadings) -> Typed:
    return Typed(**{name: getattr(seen, name) for name in READ})


def final_stage(sheet: Sheet) -> FinalReadings | None:
    stage = sheet.last(StageKind.FINAL_READINGS)
    return stage.finalreadings if stage is not None and stage.outcome == Outcome.DONE else None


def final_answer_of(sheet: Sheet, draft: Draft | None) -> Answer | None:
    """The answer to what the draft has, else to what was signed; None where nothing was read."""
    seen = final_stage(sheet)
    typed = typed_in(draft.typed) if draft is not None else typed_of(seen) if seen is not None else Typed()
    if typed == Typed():
        return None
    here, worked = _worked(sheet, typed)
    against = _compared(sheet, worked, here)
    return final_answer(worked, against, _history(sheet), here, unit_of(typed))


def final_findings(sheet: Sheet) -> tuple[Finding, ...]:
    """What cannot be in the signed readings; each is a warning."""
    seen = final_stage(sheet)
    return _worked(sheet, typed_of(seen))[1].findings if seen is not None else ()


def unit_of(typed: Typed) -> str:
    """Temperatures are told in what the thermometer shows."""
    first = next((read for text in (typed.outdoor, typed.vent, typed.inlet) if (read := shown(text))), None)
    return "°C" if first is not None and first.unit in DEGREES_C else "°F"


def _worked(sheet: Sheet, typed: Typed) -> tuple[Conditions, Worked]:
    here = conditions(sheet.rules)
    return here, work_out(readings(typed, here), FLUIDS.get(sheet.refrigerant), here)


def _compared(sheet: Sheet, worked: Worked, here: Conditions) -> list[tuple[MakersTable, Compared]]:
    """Every reading that a table has a band for."""
    read = worked.readings
    values = {
        Quantity.VENT: (read.vent, here.u_temperature),
        Quantity.HIGH_SIDE: (read.high_side, combined(here.u_gauge, here.u_air)),
        Quantity.LOW_SIDE: (read.low_side, combined(here.u_gauge, here.u_air)),
    }
    humidity = read.humidity if read.humidity is not None and 0 <= read.humidity <= 1 else None
    found = []
    for table in makers_tables(sheet.job.vehicle):
        at = read.inlet if table.typed.against is Against.INLET else read.outdoor
        for quantity, (value, u) in values.items():
            if value is not None and has_bands(table, quantity):
                found.append((table, compared(table, quantity, value, u, at=at, humidity=humidity)))
    return found


def _history(sheet: Sheet) -> list[tuple[str, str]]:
    """Earlier final readings of this vehicle, newest first: what it did then, under which air."""
    stages = (
        Stage.objects.filter(
            job__vehicle=sheet.job.vehicle_id, job__lt=sheet.job.pk, kind=StageKind.FINAL_READINGS
        )
        .filter(outcome=Outcome.DONE)
        .select_related("finalreadings", "job")
        .order_by("-job", "-version")
    )
    newest: dict[int, Stage] = {}
    for stage in stages[: 3 * EARLIER]:
        newest.setdefault(stage.job_id, stage)
    listed = [(stage, _said(stage.finalreadings)) for stage in newest.values()]
    return [
        (phrase("{job}, {day}", job=stage.job.number, day=said_day_of_year(stage.job.on)), text)
        for stage, text in listed[:EARLIER]
        if text
    ]


def _said(seen: FinalReadings) -> str:
    parts = [
        *(
            phrase("{what} {reading}", what=what, reading=reading)
            for what, reading in (
                (phrase("vent"), seen.vent),
                (phrase("outdoors"), seen.outdoor),
                (phrase("going in"), seen.inlet),
                (phrase("low"), seen.low_side),
                (phrase("high"), seen.high_side),
            )
            if reading
        ),
        *(one for one in (seen.humidity, word(seen.mode) if seen.mode else "") if one),
    ]
    return joined(", ", list(parts))


def final_worked_facts(sheet: Sheet) -> FinalWorkedFacts | None:
    """What the certificate keeps of it: numbers as they were told, and the version of the equations."""
    seen = final_stage(sheet)
    if seen is None:
        return None
    typed = typed_of(seen)
    here, worked = _worked(sheet, typed)
    unit = unit_of(typed)
    against = tuple(_line_facts(table, one, here) for table, one in _compared(sheet, worked, here))
    if worked.condensing is None and worked.evaporating is None and not against:
        return None
    return FinalWorkedFacts(
        condensing=degrees(worked.condensing, unit) if worked.condensing is not None else "",
        approach=degrees_apart(worked.approach, unit) if worked.approach is not None else "",
        evaporating=degrees(worked.evaporating, unit) if worked.evaporating is not None else "",
        table=against,
        equations=EQUATIONS,
    )


def _line_facts(table: MakersTable, one: Compared, here: Conditions) -> TableLineFacts:
    low, high = (
        in_table(table, one.quantity, edge, here.air) if edge is not None else ""
        for edge in (one.low, one.high)
    )
    value = in_table(table, one.quantity, one.value, here.air)
    return TableLineFacts(
        one.quantity.value, value, one.place.value, low, high, str(one.because), table.typed.source
    )
