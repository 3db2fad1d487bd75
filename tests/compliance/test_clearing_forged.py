"""Somebody writes a clearing past the pages: the database refuses a step, and ``verify`` names what slipped through."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import DatabaseError, connection, transaction

from compliance.core.clearing import Facts, sealed, without_customer
from compliance.core.federal.keeping import KEEP_YEARS
from compliance.models import (
    Archived,
    Clearing,
    ClearingConfirmed,
    ClearingDone,
    ClearingJob,
    ClearingLeftOut,
    ClearingUndone,
    Closing,
    Job,
    PutAway,
    Tombstone,
)
from compliance.queries.sealed import body_of
from compliance.queries.whole_book import whole_book_findings
from compliance.records.door import POSTGRESQL, SQLITE
from compliance.services.chain import add_link
from compliance.services.putting_away import let_go, put_away
from shop.core.canonical import sha256
from shop.records import drop_guards, install_guards
from tests.compliance.clearing_work import (
    AFTER,
    DUE,
    LAST,
    NEXT,
    UNTIL,
    Owner,
    archive_on,
    noon,
)


def forged(owner: Owner, number: str, on: date = AFTER) -> Clearing:
    """A clearing of one job, written row by row: asked on a day, for an archive that says it holds the job."""
    archive = owner.shop.establishment.packages.first() or archive_on(owner.shop)
    Archived.objects.get_or_create(package=archive, kind="job", key=number, defaults={"anchor": on})
    clearing = Clearing.objects.create(
        establishment=owner.shop.establishment, archive=archive, how="typed", on=on, **signed(owner, on)
    )
    ClearingJob.objects.create(clearing=clearing, job=Job.objects.get(number=number))
    return clearing


def confirmed(clearing: Clearing, owner: Owner, **said: Any) -> None:
    step = {"on": NEXT, "undo_until": UNTIL, **signed(owner), **said}
    ClearingConfirmed.objects.create(clearing=clearing, **step)


def signed(owner: Owner, on: date = NEXT) -> dict[str, Any]:
    return {"at": noon(on), "by": owner.shop.marta}


def codes() -> set[str]:
    return {one.code for one in whole_book_findings()}


def test_a_job_that_has_to_be_kept_is_taken_by_no_clearing(owner: Owner) -> None:
    with pytest.raises(DatabaseError, match="kept for its years"), transaction.atomic():
        forged(owner, "J24-0001", LAST)
    drop_guards()
    clearing = forged(owner, "J24-0001", LAST)
    confirmed(clearing, owner)
    install_guards()
    put_away(clearing, [Job.objects.get(number="J24-0001").pk], **signed(owner))
    assert codes() == {"cleared-too-young"}


@pytest.mark.parametrize(
    ("anchor", "first"),  # 40 CFR 82.42(b)(4): three years at least
    [
        ("2023-11-25", "2026-11-26"),
        ("2024-02-28", "2027-03-01"),
        ("2024-02-29", "2027-03-01"),
        ("2024-03-01", "2027-03-02"),
        ("2025-02-28", "2028-02-29"),
        ("2025-03-01", "2028-03-02"),
        ("2024-12-31", "2028-01-01"),
    ],
)
def test_the_database_counts_three_years_to_the_day(db: None, anchor: str, first: str) -> None:
    say = SQLITE if connection.vendor == "sqlite" else POSTGRESQL
    day = date.fromisoformat(first)
    for asked, past in ((day - timedelta(days=1), False), (day, True)):
        words = [f"'{text}'" if say is SQLITE else f"date '{text}'" for text in (anchor, asked)]
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT {say.is_past(words[0], words[1], KEEP_YEARS)}")
            assert bool(cursor.fetchone()[0]) is past


def test_a_job_on_hold_is_neither_put_away_nor_cleared(owner: Owner) -> None:
    held = Job.objects.get(number="J24-0002")
    clearing = forged(owner, held.number)
    with pytest.raises(DatabaseError, match="left out of a clearing first"), transaction.atomic():
        confirmed(clearing, owner)
    drop_guards()
    confirmed(clearing, owner)
    install_guards()
    put_away(clearing, [held.pk], **signed(owner))
    assert codes() == {"cleared-on-hold"}
    with pytest.raises(DatabaseError, match="left out of a clearing first"), transaction.atomic():
        ClearingDone.objects.create(clearing=clearing, on=DUE, **signed(owner, DUE))


def test_a_job_on_hold_that_was_left_out_stops_nobody(owner: Owner) -> None:
    clearing = forged(owner, "J24-0002")
    ClearingJob.objects.create(clearing=clearing, job=Job.objects.get(number="J24-0001"))
    held = Job.objects.get(number="J24-0002")
    ClearingLeftOut.objects.create(clearing=clearing, job=held, why="it is on hold", **signed(owner))
    confirmed(clearing, owner)
    assert codes() == set()


def test_nobody_but_an_owner_signs_a_step(owner: Owner) -> None:
    clearing = forged(owner, "J24-0001")
    other: dict[str, Any] = {"at": noon(NEXT), "by": owner.shop.dev}
    archive = clearing.archive
    with pytest.raises(DatabaseError, match="only an owner"), transaction.atomic():
        Clearing.objects.create(
            establishment=archive.establishment, archive=archive, how="typed", on=AFTER, **other
        )
    with pytest.raises(DatabaseError, match="only an owner"), transaction.atomic():
        confirmed(clearing, owner, **other)
    with pytest.raises(DatabaseError, match="only an owner"), transaction.atomic():
        ClearingUndone.objects.create(clearing=clearing, on=NEXT, why="settled", **other)
    confirmed(clearing, owner)
    with pytest.raises(DatabaseError, match="only an owner"), transaction.atomic():
        ClearingDone.objects.create(clearing=clearing, on=DUE, at=noon(DUE), by=owner.shop.dev)


def test_a_step_that_gives_another_day_than_its_moment_is_named(owner: Owner) -> None:
    clearing = forged(owner, "J24-0001")
    confirmed(clearing, owner, at=noon(AFTER))
    assert codes() == {"clearing-misdated", "clearing-too-soon"}


def test_cleared_on_the_same_afternoon_under_a_later_day_is_named(owner: Owner) -> None:
    clearing = owner.put_away()
    ClearingDone.objects.create(clearing=clearing, on=DUE, at=noon(NEXT), by=owner.shop.marta)
    let_go(clearing, [Job.objects.get(number="J24-0001").pk], **signed(owner))
    assert codes() == {"clearing-misdated"}


def test_signed_facts_that_lose_more_than_the_customer_are_named(owner: Owner) -> None:
    clearing = forged(owner, "J24-0001")
    confirmed(clearing, owner)
    closing = Closing.objects.get(job__number="J24-0001")
    less = without_customer(Facts.CLOSING, closing.facts.replace("503000000", "403000000"))
    assert "403000000" in less
    stone = Tombstone.objects.create(
        clearing=clearing, job=closing.job, of_table="compliance_closing", of_row=closing.pk,
        of_column="facts", sealed=sealed("s", closing.facts.encode()), stays_sha256=sha256(less),
    )  # fmt: skip
    PutAway.objects.create(tombstone=stone, content=closing.facts.encode(), stays=less.encode(), salt="s")
    Closing.objects.filter(pk=closing.pk).update(facts=less)
    add_link(owner.shop.establishment, body_of(clearing, ["J24-0001"]), **signed(owner))
    assert codes() == {"cleared-changed", "charge-differs"}
    ClearingDone.objects.create(clearing=clearing, on=DUE, at=noon(DUE), by=owner.shop.marta)
    let_go(clearing, [closing.job_id], **signed(owner, DUE))
    assert codes() == {"charge-differs"}


def test_steps_that_were_dated_back_stand_behind_a_later_day(owner: Owner) -> None:
    """Somebody writes all steps in one afternoon, with the days that the rules ask for."""
    add_link(owner.shop.establishment, "{}", **signed(owner, DUE + timedelta(days=90)))
    owner.clear(owner.put_away())
    assert codes() == {"clearing-misdated"}
