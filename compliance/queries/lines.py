"""The job sheet, line by line: each stage's shape and word, who did it, what came of it, and where it leads."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from compliance.core.charge_rules import SLACK
from compliance.core.stages import Identified, Outcome, StageKind
from compliance.models import Draft, Stage
from compliance.queries.charge_view import state_of
from compliance.queries.facts import recovered, taken_out
from compliance.queries.sheets import Sheet
from shop.core.mass import ZERO, Unit, total
from shop.core.phrase import joined, phrase, word

STATE = {
    Outcome.DONE: ("done", phrase("Done")),
    Outcome.NOT_NEEDED: ("unneeded", phrase("Not needed")),
    Outcome.STOPPED: ("stop", phrase("Stopped")),
}


@dataclass(frozen=True, slots=True)
class Line:
    """One stage on the job sheet: its shape and word, who and when, and where it leads."""

    kind: StageKind
    shape: str
    word: str
    who: str
    at: object
    note: str
    href: str


def stage_lines(sheet: Sheet) -> list[Line]:
    """The job sheet: what is done, what waits, what was left out."""
    drafts = list(sheet.job.drafts.select_related("by"))
    kinds = [kind for kind in StageKind if kind is not StageKind.LEAK_TEST or _leak_tested(sheet)]
    return [_line(sheet, kind, drafts) for kind in kinds]


def _leak_tested(sheet: Sheet) -> bool:
    weighed = any(row.moment == "leak test" for can in sheet.cans for row in can.tickets)
    return weighed or sheet.last(StageKind.LEAK_TEST) is not None


def _line(sheet: Sheet, kind: StageKind, drafts: list[Draft]) -> Line:
    stage = sheet.last(kind)
    names = {StageKind.CHECK_IN: "jobs:check-in", StageKind.CHARGE: "jobs:charge"}
    args = [sheet.job.number] if kind in names else [sheet.job.number, kind.value]
    href = reverse(names.get(kind, "jobs:stage"), args=args)
    if stage is None:
        draft = next((one for one in drafts if one.kind == kind), None)
        started = (kind is StageKind.CHARGE and bool(sheet.cans)) or draft is not None
        optional = kind is StageKind.REPAIR
        shape, word = (
            ("look", phrase("Under way"))
            if started
            else ("unneeded", phrase("None"))
            if optional
            else ("waiting", phrase("Waiting"))
        )
        return Line(
            kind,
            shape,
            word,
            draft.by.first_name if draft else "",
            draft.saved_at if draft else None,
            "",
            href,
        )
    shape, word = STATE[Outcome(stage.outcome)]
    who = stage.uncertified.name if hasattr(stage, "uncertified") else stage.by.first_name
    return Line(kind, shape, word, who, stage.at, _note(sheet, stage), href)


def after_stage(sheet: Sheet) -> str:
    """Where the work goes on: the next stage that waits; the job sheet when a leak was found or nothing waits."""
    lines = stage_lines(sheet)
    waiting = next((line for line in lines if line.shape in ("look", "waiting")), None)
    if waiting is None or sheet.leak_open is not None:
        return reverse("jobs:page", args=[sheet.job.number])
    return waiting.href


def _note(sheet: Sheet, stage: Stage) -> str:
    """What stands behind a stage on the sheet: the grams, the result, the reason it was left out."""
    if stage.outcome != Outcome.DONE:
        return stage.reason
    kind = StageKind(stage.kind)
    if kind is StageKind.RECOVERY:
        said = [f"{total(recovered(one) for one in taken_out(sheet)).rounded(Unit.G, 0):,} g"]
        label = sheet.label
        over = total(recovered(one) for one in taken_out(sheet)) - label.charge if label is not None else ZERO
        if over > SLACK:
            said.append(phrase("over the label by {over} g", over=over.rounded(Unit.G, 0)))
        said += [
            word(one.identified)
            for one in sheet.recoveries
            if one.identified in (Identified.MIXED, Identified.SEALANT)
        ]
        return joined(", ", said)
    if kind is StageKind.LEAK_CHECK:
        return joined(", ", [part for part in (word(stage.leakcheck.result), stage.leakcheck.detail) if part])
    if kind is StageKind.EVACUATION:
        held = phrase("{minutes} min", minutes=stage.evacuation.minutes)
        return joined(", ", [held, word(stage.evacuation.result)])
    if kind is StageKind.CHARGE:
        return f"{state_of(sheet).in_car.rounded(Unit.G, 0):,} g"
    return stage.reason
