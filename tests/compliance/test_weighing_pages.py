"""Every page that asks for a weight or a can brings what reads a scale or a label, and has a place for the line."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from compliance.models import CanTicket
from inventory.models import WeighTicket
from inventory.services import FacilityIn, add_facility, weigh
from shop.models import Person
from tests.compliance.work import Bay, Moment
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, cans_of, receive, ticket_in
from tests.pages import send

pytestmark = pytest.mark.one_engine

WEIGHTS = [
    "/containers/K-0003/weigh/",
    "/containers/RC-02/weigh/",
    "/containers/swapped/",
    "/containers/found/",
    "/containers/K-0004/heel/",
    "/hoses/new/",
    "/counts/new/",
    "/counts/opening/",
    "/shipments/new/",
    "/bay/J24-0001/charge/",
    "/bay/J24-0001/charge/wrong-refrigerant/",
    "/bay/J24-0001/charge/ticket/3/",
    "/bay/J24-0002/recovery/",
]
NUMBERS = [
    "/containers/swapped/",
    "/hoses/new/",
    "/counts/new/",
    "/labels/new/",
    "/bay/J24-0001/charge/",
    "/bay/J24-0001/charge/wrong-refrigerant/",
    "/bay/J24-0001/charge/can/K-0001/other/",
]


@pytest.fixture
def pages(shop: Shop, sign_on: SignOn) -> Client:
    """Marta, who may open all of them: K-0001 hangs on a car, a second car is checked in, K-0004 is open."""
    cans = cans_of(receive(shop))
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    assert bay.weigh(cans[0], "466", Moment.BEFORE).ticket.number == 3
    Bay.check_in(shop, plate="SMP-418")
    weigh(cans[3], ticket_in(shop, "140"), at=NOON, by=shop.dev)
    place = FacilityIn("Sample Reclaim", "1 Example Road, Copper Gulch, CO 80000")
    add_facility(place, shop.establishment, today=DAY, at=NOON, by=shop.lee)
    return sign_on(Person.objects.get(username="marta"))


@pytest.mark.parametrize("path", WEIGHTS)
def test_a_page_with_a_weight_can_take_it_from_a_scale(pages: Client, path: str) -> None:
    page = pages.get(path).content.decode()

    assert "shop/scale.js" in page
    assert 'data-code="SC-1" data-unit="g" data-step="1"' in page
    assert '_line" value="">' in page


@pytest.mark.parametrize("path", NUMBERS)
def test_a_page_with_a_number_can_take_it_from_a_label(pages: Client, path: str) -> None:
    page = pages.get(path).content.decode()

    assert "shop/camera.js" in page
    assert "data-scan" in page


def test_a_reading_taken_over_from_a_draft_keeps_its_line(shop: Shop, pages: Client, sign_on: SignOn) -> None:
    """Dev pressed "Use 128 g" and the station locked; what he finds again is still the scale's number."""
    dev = sign_on(shop.dev)
    typed: dict[str, Any] = {
        "container": "K-0001",
        "reading": "128",
        "what": "empty",
        "style": "bare can",
        "scale": shop.scale.pk,
    }
    send(dev, "/bay/J24-0001/charge/draft/", **typed, reading_line="SC-1 128 g")

    page = dev.get("/bay/J24-0001/charge/").content.decode()
    assert 'name="reading_line" value="SC-1 128 g"' in page
    send(dev, "/bay/J24-0001/charge/", **typed, reading_line="SC-1 128 g")

    assert CanTicket.objects.get(emptied=True).ticket == WeighTicket.objects.get(scale_line="128 g")


def test_a_paused_count_keeps_the_lines_of_its_weights(shop: Shop, pages: Client) -> None:
    weight: dict[str, Any] = {"K-0004": "140", "K-0004_line": "SC-1 ST,GS,+00140 g", "scale": shop.scale.pk}
    send(pages, "/counts/new/", do="pause", version=0, **weight)

    page = pages.get("/counts/new/").content.decode()

    assert 'name="K-0004_line" value="SC-1 ST,GS,+00140 g"' in page
