"""The conditions and the triggers of the door, in both engines' SQL, put together from the fields of the models."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.db import models
from django.db.models.expressions import RawSQL

from compliance.records.clearable import CLEARABLE, FACTS, Clearable
from shop.records import FINAL, Guard


@dataclass(frozen=True)
class _Tongue:
    """How one engine says what both have to say."""

    vendor: str
    same: str

    def bytes_of(self, column: Any, row: str) -> str:
        name = f'{row}."{column.column}"'
        if self.vendor == "sqlite":
            return f"CAST({name} AS BLOB)"
        return name if isinstance(column, models.BinaryField) else f"convert_to({name}, 'UTF8')"

    def literal(self, value: str | bytes) -> str:
        data = (value.encode() if isinstance(value, str) else value).hex()
        return f"X'{data}'" if self.vendor == "sqlite" else f"'\\x{data}'::bytea"

    def days_after(self, name: str, days: int) -> str:
        return f"date({name}, '+{days} days')" if self.vendor == "sqlite" else f"{name} + {days}"

    def is_past(self, anchor: str, day: str, years: int) -> str:
        """The years from the anchor are over before that day. PostgreSQL ends those of February 29 on the 28th; SQLite
        would on March 1, so it counts back from the day."""
        if self.vendor == "sqlite":
            return f"{anchor} < date({day}, '-{years} years')"
        return f"{anchor} + interval '{years} years' < {day}"


SQLITE, POSTGRESQL = _Tongue("sqlite", "IS"), _Tongue("postgresql", "IS NOT DISTINCT FROM")
Say = Callable[[_Tongue], str]


def exists(table: str, clearing: str, more: str = "") -> str:
    return f"EXISTS (SELECT 1 FROM compliance_{table} w WHERE w.clearing_id = {clearing}{more})"


def _back(clearing: str, job: str) -> str:
    """The detail may come back: all of the clearing was undone, or this job was left out."""
    left_out = exists("clearingleftout", clearing, f" AND w.job_id = {job}")
    return f"({exists('clearingundone', clearing)} OR {left_out})"


def runs(clearing: str, job: str) -> str:
    """Details of this job may leave: the clearing takes it, was confirmed, and is neither done nor undone."""
    takes = exists("clearingjob", clearing, f" AND w.job_id = {job}")
    over = f"{_back(clearing, job)} OR {exists('clearingdone', clearing)}"
    return f"{takes} AND {exists('clearingconfirmed', clearing)} AND NOT ({over})"


def _passes(one: Clearable, column: str, say: _Tongue) -> str:
    """One column leaves, or comes back, exactly as it was put away."""
    kept: Any = one.model._meta.get_field(column)
    old, new = say.bytes_of(kept, "OLD"), say.bytes_of(kept, "NEW")
    back = _back("t.clearing_id", "t.job_id")
    return (
        "EXISTS (SELECT 1 FROM compliance_tombstone t JOIN compliance_putaway p ON p.tombstone_id = t.id"
        f" WHERE t.of_table = '{one.table}' AND t.of_row = OLD.{{pk}} AND t.of_column = '{kept.column}'"
        f" AND ((p.content = {old} AND p.stays = {new} AND NOT {back})"
        f" OR (p.stays = {old} AND p.content = {new} AND {back})))"
    )


def _allowed(one: Clearable, say: _Tongue) -> str:
    """Nothing but details has changed, at least one has, and each may."""
    others = [
        f'NEW."{other.column}" {say.same} OLD."{other.column}"'
        for other in one.model._meta.concrete_fields
        if other.column not in one.marks
    ]
    stays = [f'NEW."{name}" {say.same} OLD."{name}"' for name in one.marks]
    each = [f"({same} OR {_passes(one, name, say)})" for name, same in zip(one.marks, stays, strict=True)]
    return " AND ".join([*others, *each, f"NOT ({' AND '.join(stays)})"])


@cache
def door_of(one: Clearable) -> Guard:
    """``FINAL`` with the way that clearing takes; the triggers keep their names."""
    update, *rest = FINAL.statements["sqlite"]
    watched = update.replace(
        "UPDATE ON {table} BEGIN", f"UPDATE ON {{table}} WHEN NOT ({_allowed(one, SQLITE)}) BEGIN"
    )
    refuse, change, truncate = FINAL.statements["postgresql"]
    name = f"tarebook_door_{one.table}"
    return Guard(
        "final, but for clearing",
        sqlite=(watched, *rest),
        postgresql=(
            refuse,
            f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
            f" IF TG_OP = 'UPDATE' THEN IF {_allowed(one, POSTGRESQL)} THEN RETURN NEW; END IF; END IF;"
            " RAISE EXCEPTION '% is final: no %', TG_TABLE_NAME, lower(TG_OP)"
            " USING ERRCODE = 'check_violation'; END $$",
            change.replace("tarebook_final()", f"{name}()"),
            truncate,
        ),
    )


def refusing(name: str, when: Say, words: str, doing: str = "INSERT") -> Guard:
    """Refuse to write (or delete) a row of which this is true."""
    gives = "OLD" if doing == "DELETE" else "NEW"
    return Guard(
        words,
        sqlite=(
            f"CREATE TRIGGER {{table}}_{name} BEFORE {doing} ON {{table}} WHEN {when(SQLITE)} BEGIN"
            f" SELECT RAISE(ABORT, '{words}'); END",
        ),
        postgresql=(
            f"CREATE OR REPLACE FUNCTION tarebook_{{table}}_{name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
            f" IF {when(POSTGRESQL)} THEN RAISE EXCEPTION '{words}' USING ERRCODE = 'check_violation';"
            f" END IF; RETURN {gives}; END $$",
            f"CREATE TRIGGER {{table}}_{name} BEFORE {doing} ON {{table}}"
            f" FOR EACH ROW EXECUTE FUNCTION tarebook_{{table}}_{name}()",
        ),
    )


def of_its_job(say: _Tongue) -> str:
    """The row that a tombstone names is there and belongs to the job that it names."""
    del say
    found = []
    for one in CLEARABLE:
        for way in one.ways:
            rows = one.model._default_manager.filter(pk=RawSQL("NEW.of_row", ()))
            rows = rows.filter(**{f"{way}_id" if "__" not in way and way != "jobs" else way: _JOB}).order_by()
            names = ", ".join(f"'{name}'" for name in one.marks)
            said = f"NEW.of_table = '{one.table}' AND NEW.of_column IN ({names})"
            found.append(f"({said} AND EXISTS ({rows.values('pk').query}))")
    return f"({' OR '.join(found)})"


_JOB = RawSQL("NEW.job_id", ())


def _on_its_row(say: _Tongue, held: str, more: Callable[[Clearable, str], str]) -> str:
    """The bytes of ``held.content`` stand on the row that its tombstone names. A car's VIN is known once, so it counts
    as back when another row has it by now."""
    found = []
    for one in CLEARABLE:
        for name in one.marks:
            column: Any = one.model._meta.get_field(name)
            key = one.model._meta.pk.column
            where = "" if held == "OLD" and name == "vin" else f" AND x.{key} = t.of_row"
            found.append(
                f"(t.of_table = '{one.table}' AND t.of_column = '{name}'{more(one, name)} AND EXISTS (SELECT 1"
                f" FROM {one.table} x WHERE {say.bytes_of(column, 'x')} = {held}.content{where}))"
            )
    return f"({' OR '.join(found)})"


def may_be_put_away(say: _Tongue) -> str:
    def stays(one: Clearable, name: str) -> str:
        return "" if name == FACTS else f" AND NEW.stays = {say.literal(one.marks[name])}"

    return (
        "EXISTS (SELECT 1 FROM compliance_tombstone t WHERE t.id = NEW.tombstone_id"
        f" AND {runs('t.clearing_id', 't.job_id')} AND {_on_its_row(say, 'NEW', stays)})"
    )


def may_let_go(say: _Tongue) -> str:
    done = exists("clearingdone", "t.clearing_id")
    left_out = exists("clearingleftout", "t.clearing_id", " AND w.job_id = t.job_id")
    back = _back("t.clearing_id", "t.job_id")
    on_its_row = _on_its_row(say, "OLD", lambda _one, _name: "")
    return (
        "EXISTS (SELECT 1 FROM compliance_tombstone t WHERE t.id = OLD.tombstone_id"
        f" AND (({done} AND NOT {left_out}) OR ({back} AND {on_its_row})))"
    )
