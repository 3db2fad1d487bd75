"""Before the first can, the charge page says whether the scale can show the label's tolerance."""

from __future__ import annotations

from django.test import Client
from django.utils import timezone

from shop.core.mass import Unit
from shop.models import Equipment
from shop.services import EquipmentIn, add_equipment
from tests.compliance.work import Bay, Moment
from tests.factories import NOON, Shop, cans_of, reading, receive


def page(client: Client, bay: Bay) -> str:
    return client.get(f"/bay/{bay.job.number}/charge/").content.decode()


def coarse(shop: Shop) -> Equipment:
    """A scale with steps of half an ounce."""
    plate = EquipmentIn(
        "SC-0", "scale", timezone.localdate(NOON), maker="on no plate", division=reading("0.5", Unit.OZ)
    )
    return add_equipment(plate, shop.establishment, today=timezone.localdate(NOON), at=NOON, by=shop.marta)


def test_a_scale_that_is_fine_enough_is_named_quietly(shop: Shop, dev: Client) -> None:
    receive(shop)
    said = page(dev, Bay.check_in(shop))
    assert "SC-1: This scale can show ± 20 g with 2 cans" in said


def test_a_tolerance_narrower_than_the_hoses_is_said_before_the_first_can(shop: Shop, dev: Client) -> None:
    receive(shop)
    said = page(dev, Bay.check_in(shop, tolerance="2"))
    assert "cannot show ± 2 g with 2 cans" in said
    assert "Measure the hoses" in said


def test_a_finer_scale_in_the_shop_is_pointed_to(shop: Shop, dev: Client) -> None:
    receive(shop)
    coarse(shop)
    said = page(dev, Bay.check_in(shop, tolerance="15"))
    assert "SC-0: This scale cannot show ± 15 g" in said
    assert "Use SC-1: it shows steps of 1 g." in said


def test_once_a_can_was_weighed_nothing_is_asked(shop: Shop, dev: Client) -> None:
    cans = cans_of(receive(shop))
    bay = Bay.check_in(shop)
    bay.weigh(cans[0], "466", Moment.BEFORE)
    assert "This scale can show" not in page(dev, bay)
