"""What a stage's page has to say beside its form: answers worked out of what is typed, and of what is signed."""

from __future__ import annotations

from compliance.core.stages import StageKind
from compliance.models import Draft
from compliance.queries.evacuations import vacuum_answer
from compliance.queries.final_view import final_answer_of, final_findings
from compliance.queries.leak_view import leak_test_answer
from compliance.queries.sheets import Sheet
from compliance.queries.visits import came_back
from shop.core.answer import Answer
from shop.core.findings import Finding

LEAK_RATE_AT = (StageKind.RECOVERY, StageKind.LEAK_CHECK, StageKind.REPAIR)
WORKED_OUT = {  # from the draft, or from what is signed
    StageKind.EVACUATION: vacuum_answer,
    StageKind.LEAK_TEST: leak_test_answer,
    StageKind.FINAL_READINGS: final_answer_of,
}


def stage_answers(sheet: Sheet, kind: StageKind, draft: Draft | None) -> tuple[Answer, ...]:
    """In the order they are shown; none where there is nothing to say."""
    if kind in LEAK_RATE_AT:
        return _since_last(sheet, kind)
    answer = WORKED_OUT[kind](sheet, draft) if kind in WORKED_OUT else None
    return (answer,) if answer is not None else ()


def _since_last(sheet: Sheet, kind: StageKind) -> tuple[Answer, ...]:
    """Beside the recovery always, where the leak is looked for only when it asks for a look."""
    back = came_back(sheet)
    if back is None or back.answer is None or not (kind is StageKind.RECOVERY or back.is_flagged):
        return ()
    return (back.answer,)


def stage_findings(sheet: Sheet, kind: StageKind) -> tuple[Finding, ...]:
    """What is said once a stage is signed, beside that it is saved."""
    return final_findings(sheet) if kind is StageKind.FINAL_READINGS else ()
