"""Control charts that have little to say: cans as they should be, checks that lean, and what a chart asks for."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from compliance.queries.control_charts import all_charts
from compliance.services import record_look
from inventory.services import LineIn
from shop.core.findings import Refused
from shop.services import CheckIn, log_check
from tests.compliance.chart_work import LOOK, jobs, of
from tests.compliance.work import Bay
from tests.factories import NOON, Shop, cans_of, reading, receive

pytestmark = pytest.mark.one_engine


def test_cans_as_they_should_be_show_nothing(shop: Shop) -> None:
    jobs(shop, *["128"] * 5)
    assert of(shop, "scale", "can") == ["Nothing to see in 5 weighings on SC-1."]
    assert of(shop, "scale", "check") == ["Too early to say: one value so far of SC-1."]


def test_checks_that_lean_one_way_show_before_one_fails(shop: Shop) -> None:
    for week in range(4):
        day = NOON.date() + timedelta(days=week)
        check = CheckIn(day, "500 g weight", known=reading("500"), shown=reading("501"))
        assert log_check(shop.scale, check, today=day, at=NOON + timedelta(days=week), by=shop.dev).passed
    assert of(shop, "scale", "check") == [
        "Checks of SC-1 with the known weight lean one way since Apr 2: about +1.0 g."
    ]


def test_there_is_nothing_to_look_into_on_a_quiet_chart(shop: Shop, marta: Client) -> None:
    jobs(shop, *["128"] * 5)
    quiet = next(one for one in all_charts(shop.establishment) if one.alarm is None)
    with pytest.raises(Refused, match="no alarm on this chart"):
        record_look(quiet, shop.establishment, found="nothing", at=NOON, by=shop.marta)
    assert marta.get(LOOK).status_code == 404


def test_the_charts_ask_the_database_a_fixed_number_of_times(shop: Shop, marta: Client) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            marta.get("/records/charts/")
        return len(seen)

    jobs(shop, *["128"] * 3)
    few = asked()
    cans = cans_of(receive(shop, LineIn(shop.can12, 2, 2), slip="88600"))
    bay = Bay.check_in(shop, plate="SMP-777", at=NOON + timedelta(days=40))
    bay.recover("7876", "7900")
    bay.leak_check()
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    assert asked() == few
