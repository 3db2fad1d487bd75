"""January: Today says what is past its time, the owner looks, makes the archive, and nothing is gone."""

from __future__ import annotations

import hashlib
import io
import zipfile
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.utils import timezone

from compliance.models import Closing, Package
from compliance.services import place_hold
from tests.compliance.sheets.reading import body
from tests.compliance.work import Bay
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, cans_of, receive
from tests.pages import send, text

pytestmark = pytest.mark.one_engine

JANUARY = datetime(DAY.year + 4, 1, 4, 18, 0, tzinfo=UTC)


def test_the_archive_of_january_and_the_book_that_stays(shop: Shop, sign_on: SignOn, settings: Any) -> None:
    cans = cans_of(receive(shop))
    closed = Bay.check_in(shop).straight(cans[0], cans[1])
    second = Bay.check_in(shop, plate="SMP-999")
    second.up_to_charge_again()
    second.draw(cans[1], "293", "128", emptied=True)
    second.draw(cans[2], "466", "122")
    second.keep_charge()
    second.finals()
    place_hold(second.close().job, why="an insurer wrote", at=NOON, by=shop.lee)
    settings.PRACTICE_OFFSET = JANUARY - timezone.now()
    marta = sign_on(shop.marta)

    assert "3 records are past their time: 1 on hold, 1 still needed by newer work." in text(marta.get("/"))
    page = text(marta.get("/records/old/"))
    assert "Tarebook clears nothing" in page
    assert "a can of it is in the cabinet" in page
    last = DAY.replace(year=DAY.year + 3)
    assert f"{last:%b} {last.day} {last.year}" in page

    data = body(marta.post("/records/old/archive/"))
    with zipfile.ZipFile(io.BytesIO(data)) as held:
        names = held.namelist()
        assert held.read("papers/C24-0001-v1.pdf") == bytes(closed.certificates.get().document.pdf)
    assert not any("C24-0002" in name for name in names)  # on hold
    assert Package.objects.get().sha256 == hashlib.sha256(data).hexdigest()
    assert "past their time" not in text(marta.get("/"))
    assert Closing.objects.count() == 2
    assert text(marta.get("/papers/C24-0001/1/"))

    send(marta, "/records/old/keep/", how="for ever", why="we have the room")
    assert "Everything is kept for ever." in text(marta.get("/records/old/"))
    assert JANUARY.date() - DAY > timedelta(3 * 365)
