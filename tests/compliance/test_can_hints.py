"""The charge page speaks of the can: where its flow stops short of the leak-test charge, and that it is cold."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.core.stages import StageKind
from compliance.services import save_draft
from inventory.models import Container
from tests.compliance.work import Bay, Moment
from tests.factories import NOON, Shop
from tests.pages import text

pytestmark = pytest.mark.one_engine


@pytest.fixture
def bay(shop: Shop, cans: list[Container]) -> Bay:
    """A can hangs on the car and nothing has left it."""
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    return bay


def page(client: Client, bay: Bay) -> str:
    return text(client.get(f"/bay/{bay.job.number}/charge/"))


def looked(client: Client, bay: Bay, reading: str) -> str:
    typed = {
        "container": "K-0001",
        "reading": reading,
        "what": "off",
        "scale": str(bay.shop.scale.pk),
        "style": "bare can",
    }
    return client.get(f"/bay/{bay.job.number}/charge/look/", typed).content.decode()


def test_where_flow_stops_is_said_beside_the_leak_test_charge(dev: Client, bay: Bay) -> None:
    said = page(dev, bay)
    assert "short of 75 g: warm the can in water, at most 104 °F (40 °C)" in said
    assert "bay at 50 to 86 °F" in said


def test_a_bay_temperature_typed_for_the_leak_test_narrows_it(shop: Shop, dev: Client, bay: Bay) -> None:
    typed = {"temperature": "72", "temperature_unit": "°F"}
    save_draft(bay.job, StageKind.LEAK_TEST, typed, at=NOON, by=shop.dev)
    assert "bay at 72 °F" in page(dev, bay)


@pytest.mark.parametrize("typed", ["warm", "-500", "\u202e9", "nan", ["1"]])
def test_a_bay_temperature_that_is_none_leaves_the_usual_range(
    typed: object, shop: Shop, dev: Client, bay: Bay
) -> None:
    save_draft(bay.job, StageKind.LEAK_TEST, {"temperature": typed}, at=NOON, by=shop.dev)
    assert "bay at 50 to 86 °F" in page(dev, bay)


def test_once_something_was_drawn_the_stall_is_no_news(dev: Client, bay: Bay, cans: list[Container]) -> None:
    bay.weigh(cans[0], "420", stays_on=True)
    said = page(dev, bay)
    assert "Vapour may stop" not in said
    assert "46 g went out" in said
    assert "Wipe it and wait" in said


def test_a_small_draw_leaves_the_can_dry(dev: Client, bay: Bay, cans: list[Container]) -> None:
    bay.weigh(cans[0], "430", stays_on=True)
    assert "Wipe it" not in page(dev, bay)


def test_the_answer_to_a_reading_says_it_while_the_can_can_still_be_wiped(dev: Client, bay: Bay) -> None:
    assert "Wipe it and wait" in looked(dev, bay, "128")
    assert "Wipe it and wait" not in looked(dev, bay, "440")


def test_a_cold_can_stops_nobody(bay: Bay, cans: list[Container]) -> None:
    ticket = bay.weigh(cans[0], "128", emptied=True)
    assert ticket.ticket.reading_text == "128"
