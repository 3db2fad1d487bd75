"""No job takes a container that is on hold, or a can that was found and not accepted; a heel kept is offered first."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from inventory.models import Container
from inventory.services import (
    CylinderSent,
    FacilityIn,
    FoundIn,
    ShipmentIn,
    accept_found,
    add_facility,
    end_hold,
    find_can,
    keep_for_next,
    measure_hoses,
    put_on_hold,
    ship_cylinders,
    weigh,
)
from shop.core.findings import Refused
from tests.compliance.work import Bay, Moment
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, cylinder_holding, hoses_in, ticket_in
from tests.pages import errors, send, text


def test_a_can_on_hold_does_not_go_on_a_car(bay: Bay, shop: Shop, cans: list[Container]) -> None:
    bay.up_to_charge()
    put_on_hold(cans[0], why="smells of oil", at=NOON, by=shop.lee)
    with pytest.raises(
        Refused, match=r"K-0001 is on hold since Apr 2 2024 \(smells of oil\). Take another one."
    ):
        bay.weigh(cans[0], "466", Moment.BEFORE)

    end_hold(cans[0], why="wiped", at=NOON, by=shop.lee)
    assert bay.weigh(cans[0], "466", Moment.BEFORE).pk


def test_a_hold_of_the_evening_is_of_the_shops_own_day(bay: Bay, shop: Shop, cans: list[Container]) -> None:
    bay.up_to_charge()
    evening = NOON + timedelta(hours=8)  # two in the morning of Apr 3 in Greenwich
    put_on_hold(cans[0], why="smells of oil", at=evening, by=shop.lee)
    with pytest.raises(Refused, match="on hold since Apr 2 2024"):
        bay.weigh(cans[0], "466", Moment.BEFORE)


def test_a_can_put_on_hold_is_still_weighed_off_the_car_that_has_it(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    """It cannot be put on hold while a job has it, so no reading is ever lost to a hold."""
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    with pytest.raises(Refused, match="belongs to the open job J24-0001"):
        put_on_hold(cans[0], why="smells of oil", at=NOON, by=shop.lee)


def test_a_cylinder_on_hold_takes_nothing_and_goes_nowhere(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    full = cylinder_holding(shop, "RC-08", "5")
    for one in (shop.rc02, full):
        put_on_hold(one, why="valve drips", at=NOON, by=shop.lee)
    with pytest.raises(Refused, match="RC-02 is on hold"):
        bay.recover()
    with pytest.raises(Refused, match="RC-02 is on hold"):
        measure_hoses(hoses_in(shop, cans[0]), on=DAY, at=NOON, by=shop.dev)
    facility = add_facility(
        FacilityIn("Saltgrass Refrigerant Recovery", "9 Depot Lane, Other Springs"),
        shop.establishment,
        today=DAY,
        at=NOON,
        by=shop.lee,
    )
    leaving = ShipmentIn(
        facility, "reclaim", "own van", (CylinderSent(full, ticket_in(shop, "10000")),), capped=True
    )
    with pytest.raises(Refused, match="RC-08 is on hold"):
        ship_cylinders(leaving, shop.establishment, on=DAY, at=NOON, by=shop.lee)


def test_a_found_can_is_refused_on_the_charge_page_until_it_is_accepted(
    bay: Bay, shop: Shop, cans: list[Container], dev: Client
) -> None:
    bay.up_to_charge()
    found = FoundIn(shop.can12, "R-134a 12 oz", "bottom drawer", ticket_in(shop, "286"))
    turned_up = find_can(found, shop.establishment, on=DAY, at=NOON, by=shop.lee)
    reading: dict[str, Any] = {
        "container": "K-0013",
        "reading": "286",
        "what": "before",
        "scale": shop.scale.pk,
        "style": "bare can",
    }
    address = f"/bay/{bay.job.number}/charge/"

    response = send(dev, address, **reading)
    assert "K-0013 was found without a number" in " ".join(errors(response, "container"))
    accept_found(turned_up, why="our own kind", at=NOON, by=shop.marta)
    assert send(dev, address, **reading).status_code == 302


def test_what_is_kept_for_the_next_job_stands_on_the_charge_page(
    bay: Bay, shop: Shop, cans: list[Container], dev: Client
) -> None:
    weigh(cans[4], ticket_in(shop, "466"), at=NOON, by=shop.dev)
    weigh(cans[4], ticket_in(shop, "160"), at=NOON, by=shop.dev)
    keep_for_next(cans[4], at=NOON, by=shop.rosa)
    bay.up_to_charge()
    page = text(dev.get(f"/bay/{bay.job.number}/charge/"))

    assert page.index("K-0005") < page.index("K-0001 sealed")
    assert "Kept for the next job Rosa Tamayo" in page


def test_the_owner_is_asked_about_a_found_can(
    bay: Bay, shop: Shop, cans: list[Container], sign_on: SignOn, lee: Client
) -> None:
    found = FoundIn(shop.can12, "R-134a 12 oz", "bottom drawer", ticket_in(shop, "286"))
    find_can(found, shop.establishment, on=DAY, at=NOON, by=shop.lee)

    assert "K-0013 was found by Lee, origin unknown: bottom drawer." in text(sign_on(shop.marta).get("/"))
    assert "was found by" not in text(lee.get("/"))
