"""The door in the guards: with a clearing confirmed, everything but that clearing's own details is as final as ever."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import DatabaseError, connection, transaction

from compliance.models import (
    CheckIn,
    Clearing,
    ClearingConfirmed,
    ClearingJob,
    ClearingLeftOut,
    ClearingUndone,
    Document,
    Job,
    PutAway,
    Stage,
    Tombstone,
)
from compliance.records import CLEARABLE
from shop.core.canonical import sha256
from tests.compliance.clearing_work import DUE, UNTIL, Owner, noon, old_job_and_one_on_hold
from tests.conftest import Keep
from tests.factories import Shop

FINAL = [one for one in CLEARABLE if one.label.startswith("compliance.")]
STEPS = (Clearing, ClearingJob, ClearingLeftOut, ClearingConfirmed, Tombstone)


@pytest.fixture(scope="module")
def put_away(keep: Keep, shop_of_all: Shop) -> None:
    """An old job whose details are put away, and another one that a hold keeps."""

    def make() -> None:
        old_job_and_one_on_hold(shop_of_all)
        clearing = Owner(shop_of_all).put_away()
        other, signed = Job.objects.get(number="J24-0002"), {"at": noon(UNTIL), "by": shop_of_all.marta}
        ClearingLeftOut.objects.create(clearing=clearing, job=other, why="it is on hold", **signed)

    keep(make)


@pytest.fixture
def owner(put_away: None, shop: Shop) -> Owner:
    return Owner(shop)


@pytest.fixture
def clearing(owner: Owner) -> Clearing:
    return Clearing.objects.get()


def refused(sql: str, *values: Any) -> str:
    """The database's own words on refusing this statement."""
    with pytest.raises(DatabaseError) as error, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql, values or None)
    return str(error.value)


def held() -> CheckIn:
    return CheckIn.objects.get(stage__job__number="J24-0002")


@pytest.mark.parametrize("one", FINAL, ids=[one.label for one in FINAL])
def test_with_the_door_open_no_row_changes_otherwise_or_goes(clearing: Clearing, one: Any) -> None:
    assert one.model._default_manager.exists()
    key = one.model._meta.pk.column
    assert "is final: no update" in refused(f"UPDATE {one.table} SET {key} = {key}")
    for name, mark in one.marks.items():
        value = b"x" if isinstance(mark, bytes) else "x"
        assert "is final: no update" in refused(f"UPDATE {one.table} SET {name} = %s", value)
    assert "is final: no delete" in refused(f"DELETE FROM {one.table}")


def test_other_columns_of_the_same_row_stay(clearing: Clearing, owner: Owner) -> None:
    mine = CheckIn.objects.get(stage__job__number="J24-0001")
    for column, value in (("odometer", "1"), ("refrigerant_id", "R-1234yf"), ("unit_kind", "bus")):
        sql = f"UPDATE compliance_checkin SET {column} = %s, customer = %s WHERE stage_id = %s"
        assert "is final" in refused(sql, value, "(cleared)", mine.pk)
    stage = "UPDATE compliance_stage SET reason = %s WHERE id = %s"
    assert "is final" in refused(stage, "(cleared)", mine.pk)


def test_a_row_of_another_job_stays_whatever_is_written_for_it(clearing: Clearing) -> None:
    row, content = held(), b"Tobin Marsh"
    other, first = Job.objects.get(number="J24-0002"), Job.objects.get(number="J24-0001")
    sql = "UPDATE compliance_checkin SET customer = %s WHERE stage_id = %s"
    assert "is final" in refused(sql, "(cleared)", row.pk)
    for job in (other, first):
        with pytest.raises(DatabaseError, match="job that is being cleared"), transaction.atomic():
            Tombstone.objects.create(
                clearing=clearing,
                job=job,
                of_table="compliance_checkin",
                of_row=row.pk,
                of_column="customer",
                sealed=sha256(content),
                stays_sha256=sha256("(cleared)"),
            )


@pytest.mark.parametrize(("table", "column"), [("compliance_stage", "job_id"), ("compliance_link", "body")])
def test_no_tombstone_stands_for_what_is_no_detail(clearing: Clearing, table: str, column: str) -> None:
    job = Job.objects.get(number="J24-0001")
    row = Stage.objects.filter(job=job)[0].pk
    with pytest.raises(DatabaseError, match="job that is being cleared"), transaction.atomic():
        Tombstone.objects.create(
            clearing=clearing, job=job, of_table=table, of_row=row, of_column=column,
            sealed="0" * 64, stays_sha256="0" * 64,
        )  # fmt: skip


def test_what_is_put_away_is_neither_changed_nor_lost_nor_back_too_early(clearing: Clearing) -> None:
    assert "is final: no update" in refused("UPDATE compliance_putaway SET content = stays")
    assert "goes back or is cleared when due" in refused("DELETE FROM compliance_putaway")
    row = CheckIn.objects.get(stage__job__number="J24-0001")
    sql = "UPDATE compliance_checkin SET customer = %s WHERE stage_id = %s"
    assert "is final: no update" in refused(sql, "Ines Calloway", row.pk)


def test_after_an_undo_only_the_same_bytes_come_back(clearing: Clearing, owner: Owner) -> None:
    signed: dict[str, Any] = {"at": noon(UNTIL), "by": owner.shop.marta}
    ClearingUndone.objects.create(clearing=clearing, on=UNTIL, why="settled", **signed)
    row = CheckIn.objects.get(stage__job__number="J24-0001")
    sql = "UPDATE compliance_checkin SET customer = %s WHERE stage_id = %s"
    assert "is final" in refused(sql, "Otis Vale", row.pk)
    assert "goes back" in refused("DELETE FROM compliance_putaway")
    assert CheckIn.objects.filter(pk=row.pk).update(customer="Ines Calloway") == 1
    assert "is final" in refused(sql, "(cleared)", row.pk)


def test_after_clearing_the_door_is_shut_for_good(clearing: Clearing, owner: Owner) -> None:
    owner.clear(clearing)
    row = CheckIn.objects.get(stage__job__number="J24-0001")
    sql = "UPDATE compliance_checkin SET customer = %s WHERE stage_id = %s"
    assert "is final" in refused(sql, "Ines Calloway", row.pk)
    assert "is final" in refused("UPDATE compliance_document SET pdf = %s", b"%PDF")
    signed: dict[str, Any] = {"at": noon(DUE), "by": owner.shop.marta}
    with pytest.raises(DatabaseError, match="days to bring it back are over"), transaction.atomic():
        ClearingUndone.objects.create(clearing=clearing, on=UNTIL, why="settled", **signed)
    with pytest.raises(DatabaseError, match="does not come back"), transaction.atomic():
        ClearingLeftOut.objects.create(clearing=clearing, job=row.stage.job, why="a hold", **signed)


@pytest.mark.parametrize("model", [*STEPS, PutAway, Document], ids=lambda model: str(model.__name__))
def test_no_row_goes_by_the_engines_own_short_way(clearing: Clearing, model: Any) -> None:
    """SQLite's INSERT OR REPLACE deletes the old row on the quiet, PostgreSQL's TRUNCATE all of them."""
    table = model._meta.db_table
    names = ", ".join(f'"{field.column}"' for field in model._meta.concrete_fields)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        assert "is final: no truncate" in refused(f"TRUNCATE {table} CASCADE")
        key = model._meta.pk.column
        upsert = f' ON CONFLICT ("{key}") DO UPDATE SET "{key}" = excluded."{key}"'
        assert refused(f"INSERT INTO {table} ({names}) SELECT {names} FROM {table} LIMIT 1{upsert}")
    else:
        said = refused(f"INSERT OR REPLACE INTO {table} ({names}) SELECT {names} FROM {table} LIMIT 1")
        assert any(words in said for words in ("is final: no replace", "clear", "put away"))
