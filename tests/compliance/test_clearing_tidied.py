"""What was cleared is gone from the file too, not only from its rows."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection

from compliance.models import CheckIn
from compliance.queries.whole_book import whole_book_findings
from inventory.models import Container
from shop.records import expected_triggers, present_triggers
from tests.compliance.clearing_work import VIN, Owner, old_job
from tests.factories import cans_of, make_shop, receive

NAMES = (b"Calloway", b"CALL0WAY", b"hissing", VIN.encode())  # Find keeps an O as 0


def bytes_of_the_file() -> bytes:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    file = Path(connection.settings_dict["NAME"])
    return b"".join(one.read_bytes() for one in file.parent.glob(f"{file.name}*"))


@pytest.mark.one_engine
def test_tidy_leaves_nothing_of_what_was_cleared_in_the_file(live_db: None) -> None:
    assert connection.vendor == "sqlite", "a server's files are not ours to read"
    shop = make_shop()
    cans: list[Container] = cans_of(receive(shop))
    old_job(shop, cans[0], cans[1])
    held = bytes_of_the_file()
    assert [name for name in NAMES if name not in held] == []
    owner = Owner(shop)
    owner.clear(owner.put_away())
    call_command("tidy", stdout=io.StringIO())
    left = bytes_of_the_file()
    assert [name for name in NAMES if name in left] == []
    assert b"Larkin" in left  # who worked stays


def test_tidy_keeps_every_row_and_every_guard(live_db: None) -> None:
    shop = make_shop()
    cans = cans_of(receive(shop))
    old_job(shop, cans[0], cans[1])
    out = io.StringIO()
    call_command("tidy", stdout=out)
    assert "rewritten" in out.getvalue()
    assert CheckIn.objects.get().customer == "Ines Calloway"
    assert expected_triggers(connection.vendor) <= present_triggers(connection)
    assert whole_book_findings() == []
