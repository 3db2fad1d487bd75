"""What Today asks the owner alone: holds, signed reports that a slip passed by, letters that nobody took."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from compliance.models import Closing
from compliance.services import (
    Change,
    correct_job,
    end_hold,
    issue_usage_report,
    place_hold,
    reissue_usage_report,
)
from inventory.models import Container
from shop.core.period import Period
from shop.models import LetterDue
from shop.services import end_listener
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop
from tests.pages import text
from tests.shop.test_outgoing import happens, listener_at

MAY = timedelta(days=30)


@pytest.fixture
def closed(bay: Bay, cans: list[Container]) -> Closing:
    return bay.straight(cans[0], cans[1])


def test_a_hold_stands_on_the_owners_today_until_it_ends(
    bay: Bay, closed: Closing, marta: Client, lee: Client
) -> None:
    place_hold(closed.job, why="the insurer asks", at=bay.later(), by=bay.shop.lee)

    assert "J24-0001 is on hold since Apr 2 2024: the insurer asks." in text(marta.get("/"))
    assert "on hold since" not in text(lee.get("/"))

    end_hold(closed.job, why="settled", at=bay.later(), by=bay.shop.marta)
    assert "on hold since" not in text(marta.get("/"))


def test_a_signed_report_that_a_slip_passed_by_is_asked_about_until_its_next_version(
    bay: Bay, closed: Closing, marta: Client
) -> None:
    shop, may = bay.shop, bay.clock + MAY
    april = Period.month(DAY)
    signed: dict[str, Any] = {"at": may, "by": shop.marta}
    report = issue_usage_report(shop.establishment, april, today=may.date(), **signed)
    assert "was signed before" not in text(marta.get("/"))
    signed["at"] += timedelta(hours=1)
    odometer = Change("check-in-1-odometer", "", "118402")
    correct_job(closed.job, [odometer], why="left out", on=signed["at"].date(), **signed)

    page = marta.get("/")
    assert f"{report.number} was signed before CS24-0001." in text(page)
    assert f'href="/papers/{report.number}/1/reissue/"' in page.content.decode()

    signed["at"] += timedelta(hours=1)
    reissue_usage_report(report, why="CS24-0001", **signed)
    assert "was signed before" not in text(marta.get("/"))


def test_letters_that_nobody_took_are_asked_about(shop: Shop, marta: Client, dev: Client) -> None:
    listener = listener_at(shop, "http://127.0.0.1:9/")
    happens(shop)
    assert "did not take" not in text(marta.get("/"))
    LetterDue.objects.update(at=None)

    assert "Bookkeeping did not take 1 letter." in text(marta.get("/"))
    assert "did not take" not in text(dev.get("/"))

    end_listener(listener, at=NOON, by=shop.marta)
    assert "did not take" not in text(marta.get("/"))
