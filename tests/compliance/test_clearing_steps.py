"""The steps of clearing as the database sees them, and what drops out on the way."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import DatabaseError, transaction

from compliance.models import (
    CheckIn,
    Clearing,
    ClearingConfirmed,
    ClearingDone,
    ClearingJob,
    ClearingUndone,
    Closing,
    Job,
    PutAway,
    Tombstone,
)
from tests.compliance.clearing_work import (
    AFTER,
    DUE,
    NEXT,
    UNTIL,
    Owner,
    archive_on,
    noon,
)


def test_only_what_stands_on_its_row_is_put_away_and_only_the_mark_stays(owner: Owner) -> None:
    clearing = owner.ask(archive_on(owner.shop))
    signed: dict[str, Any] = {"at": noon(NEXT), "by": owner.shop.marta}
    ClearingConfirmed.objects.create(clearing=clearing, on=NEXT, undo_until=UNTIL, **signed)
    job = Job.objects.get(number="J24-0001")
    check_in = CheckIn.objects.get(stage__job=job)
    stone = Tombstone.objects.create(
        clearing=clearing, job=job, of_table="compliance_checkin", of_row=check_in.pk, of_column="customer",
        sealed="0" * 64, stays_sha256="0" * 64,
    )  # fmt: skip
    for content, stays in ((b"Somebody else", b"(cleared)"), (b"Ines Calloway", b"Otis Vale")):
        with pytest.raises(DatabaseError, match="only what stands on its row"), transaction.atomic():
            PutAway.objects.create(tombstone=stone, content=content, stays=stays, salt="s")
    PutAway.objects.create(tombstone=stone, content=b"Ines Calloway", stays=b"(cleared)", salt="s")
    with pytest.raises(DatabaseError, match="is final"), transaction.atomic():
        CheckIn.objects.filter(pk=check_in.pk).update(customer="Otis Vale")
    assert CheckIn.objects.filter(pk=check_in.pk).update(customer="(cleared)") == 1


def step(model: Any, clearing: Clearing, on: date, owner: Owner, **more: Any) -> None:
    model.objects.create(clearing=clearing, on=on, at=noon(on), by=owner.shop.marta, **more)


def test_no_step_is_written_too_early(owner: Owner) -> None:
    clearing = owner.ask(archive_on(owner.shop))
    for on, until in ((AFTER, AFTER + timedelta(30)), (NEXT, NEXT + timedelta(29))):
        with pytest.raises(DatabaseError, match="a day later"), transaction.atomic():
            step(ClearingConfirmed, clearing, on, owner, undo_until=until)
    with pytest.raises(DatabaseError, match="not due"), transaction.atomic():
        step(ClearingDone, clearing, DUE, owner)
    step(ClearingConfirmed, clearing, NEXT, owner, undo_until=UNTIL)
    with pytest.raises(DatabaseError, match="not due"), transaction.atomic():
        step(ClearingDone, clearing, UNTIL, owner)
    with pytest.raises(DatabaseError, match="days to bring it back are over"), transaction.atomic():
        step(ClearingUndone, clearing, DUE, owner, why="settled")


def test_a_clearing_takes_what_its_archive_holds_until_it_is_confirmed(owner: Owner) -> None:
    clearing = owner.ask(archive_on(owner.shop))
    on_hold = Job.objects.get(number="J24-0002")
    with pytest.raises(DatabaseError, match="archived jobs until it is confirmed"), transaction.atomic():
        ClearingJob.objects.create(clearing=clearing, job=on_hold)
    owner.confirm(clearing)
    with pytest.raises(DatabaseError, match="archived jobs until it is confirmed"), transaction.atomic():
        ClearingJob.objects.create(clearing=clearing, job=Closing.objects.get(job__number="J24-0001").job)
