"""The one way past the guards: clearing old records, as narrow as two databases can make it.

A detail (one column of one final row) may change in two cases only. It leaves: its row takes what ``PutAway`` says
stays, while ``PutAway`` holds what stood there, byte for byte, under a confirmed clearing of that row's own job. It
comes back: the same bytes return, after the clearing was undone or the job left out of it. Every other column of the
row must be as it was, no row is ever deleted, and ``PutAway`` lets go of a detail only when it is back on its row or
its clearing is done, which is not before the day after the last one to undo.
"""

from __future__ import annotations

from functools import partial

from compliance.core.clearing import UNDO_DAYS
from compliance.core.federal.keeping import KEEP_YEARS
from compliance.records.clearable import CLEARABLE, FACTS, Clearable
from compliance.records.door import (
    door_of,
    exists,
    may_be_put_away,
    may_let_go,
    of_its_job,
    refusing,
    runs,
)
from shop.core.roles import Role
from shop.records import FINAL, Guard, door, guard

__all__ = ["CLEARABLE", "FACTS", "Clearable"]

for _one in CLEARABLE:
    if _one.label.startswith("compliance."):
        door(_one.label, partial(door_of, _one))

_ON = 'NEW."on"'
_WORKED, _ASKED = 'k."on"', 'c."on"'
_DONE = exists("clearingdone", "NEW.clearing_id")
_UNDONE = exists("clearingundone", "NEW.clearing_id")
_CONFIRMED = exists("clearingconfirmed", "NEW.clearing_id")
_SAME_DAY = (
    "EXISTS (SELECT 1 FROM compliance_clearing w WHERE w.id = NEW.clearing_id"
    ' AND w.by_id = NEW.by_id AND NEW."on" <= w."on")'
)
_IN_TIME = exists("clearingconfirmed", "NEW.clearing_id", ' AND w.undo_until >= NEW."on"')
_LATE = exists("clearingconfirmed", "NEW.clearing_id", ' AND w.undo_until < NEW."on"')
_ARCHIVED = (
    "EXISTS (SELECT 1 FROM compliance_clearing c JOIN compliance_archived a ON a.package_id = c.archive_id"
    " JOIN compliance_job j ON j.number = a.key AND j.establishment_id = c.establishment_id"
    " WHERE c.id = NEW.clearing_id AND j.id = NEW.job_id AND a.kind = 'job')"
)
_HELD = (
    "EXISTS (SELECT 1 FROM compliance_clearingjob j JOIN compliance_jobhold h ON h.job_id = j.job_id"
    " WHERE j.clearing_id = NEW.clearing_id"
    " AND NOT EXISTS (SELECT 1 FROM compliance_jobholdend e WHERE e.hold_id = h.id)"
    " AND NOT EXISTS (SELECT 1 FROM compliance_clearingleftout o"
    " WHERE o.clearing_id = j.clearing_id AND o.job_id = j.job_id))"
)
_OWNER = (
    "EXISTS (SELECT 1 FROM shop_person p JOIN compliance_clearing w ON w.establishment_id = p.establishment_id"
    f" WHERE p.id = NEW.by_id AND p.role = '{Role.OWNER}' AND p.is_active AND w.id = NEW.clearing_id)"
)
for _step in ("ClearingConfirmed", "ClearingUndone", "ClearingDone"):
    guard(
        f"compliance.{_step}",
        refusing(
            "by_owner", lambda _: f"NOT {_OWNER}", "only an owner of the shop takes a step of a clearing"
        ),
    )
for _step in ("ClearingConfirmed", "ClearingDone"):
    guard(
        f"compliance.{_step}",
        refusing("not_held", lambda _: _HELD, "a job on hold is left out of a clearing first"),
    )
guard(
    "compliance.Clearing",
    refusing(
        "by_owner",
        lambda _: (
            "NOT EXISTS (SELECT 1 FROM shop_person p WHERE p.id = NEW.by_id"
            f" AND p.establishment_id = NEW.establishment_id AND p.role = '{Role.OWNER}' AND p.is_active)"
        ),
        "only an owner of the shop asks to clear",
    ),
)
guard(
    "compliance.ClearingJob",
    refusing(
        "old",
        lambda say: (
            "NOT EXISTS (SELECT 1 FROM compliance_closing k JOIN compliance_clearing c"
            " ON c.id = NEW.clearing_id WHERE k.job_id = NEW.job_id"
            f" AND {say.is_past(_WORKED, _ASKED, KEEP_YEARS)})"
        ),
        "a job is kept for its years before a clearing takes it",
    ),
)
guard(
    "compliance.ClearingJob",
    refusing(
        "open",
        lambda _: f"{_CONFIRMED} OR NOT {_ARCHIVED}",
        "a clearing takes archived jobs until it is confirmed",
    ),
)
guard("compliance.ClearingLeftOut", refusing("open", lambda _: _DONE, "what was cleared does not come back"))
guard(
    "compliance.ClearingConfirmed",
    refusing(
        "asked",
        lambda say: f"{_UNDONE} OR {_SAME_DAY} OR NEW.undo_until < {say.days_after(_ON, UNDO_DAYS)}",
        "a clearing is confirmed by another owner or a day later, with its days to undo",
    ),
)
guard(
    "compliance.ClearingUndone",
    refusing("in_time", lambda _: f"{_DONE} OR {_LATE}", "the days to bring it back are over"),
)
guard(
    "compliance.ClearingDone",
    refusing("due", lambda _: f"{_UNDONE} OR {_IN_TIME} OR NOT {_CONFIRMED}", "a clearing is not due"),
)
guard(
    "compliance.Tombstone",
    lambda: refusing(
        "of_its_job",
        lambda say: f"NOT ({runs('NEW.clearing_id', 'NEW.job_id')} AND {of_its_job(say)})",
        "a tombstone stands for a detail of a job that is being cleared",
    ),
)
guard(
    "compliance.PutAway",
    lambda: refusing(
        "of_its_row",
        lambda say: f"NOT {may_be_put_away(say)}",
        "only what stands on its row is put away",
    ),
)
guard(
    "compliance.PutAway",
    lambda: refusing(
        "kept",
        lambda say: f"NOT {may_let_go(say)}",
        "what is put away goes back or is cleared when due",
        "DELETE",
    ),
)
guard(
    "compliance.PutAway",
    Guard(
        "what is put away stays as it is",
        sqlite=(
            "CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} BEGIN"
            " SELECT RAISE(ABORT, '{table} is final: no update'); END",
            FINAL.statements["sqlite"][2],
        ),
        postgresql=(
            FINAL.statements["postgresql"][0],
            "CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table}"
            " FOR EACH ROW EXECUTE FUNCTION tarebook_final()",
            FINAL.statements["postgresql"][2],
        ),
    ),
)
