"""Room in the cylinder: shown before each recovery, kept by the recovery itself."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.queries import job_sheet
from compliance.queries.stage_view import cylinders
from inventory.models import Container
from inventory.queries import in_the_cabinet
from shop.core.findings import Refused
from tests.compliance.work import Bay
from tests.factories import Shop, cylinder_holding
from tests.pages import text


@pytest.fixture
def nearly_full(shop: Shop) -> Container:
    """20 lb in it: 9,071.8 g of 9,507.3 g, so 435 g are left, less the doubt of its stamps."""
    cylinder_holding(shop, "RC-09", "20")
    return in_the_cabinet(shop.establishment).get(pk="RC-09")


def test_before_a_recovery_the_page_says_that_the_label_charge_is_more_than_the_room(
    shop: Shop, nearly_full: Container, dev: Client
) -> None:
    bay = Bay.check_in(shop)  # its label says 500 g
    page = text(dev.get(f"/bay/{bay.job.number}/recovery/"))

    assert "RC-09: This car's label says 500 g, more than the room left. Take another cylinder" in page
    assert "RC-02: This car's label" not in page


def test_a_small_charge_has_room_and_is_not_spoken_of(
    shop: Shop, nearly_full: Container, dev: Client
) -> None:
    bay = Bay.check_in(shop, label="300")
    page = text(dev.get(f"/bay/{bay.job.number}/recovery/"))

    assert "more than the room left" not in page


def test_a_car_without_a_label_is_not_compared(shop: Shop, nearly_full: Container) -> None:
    bay = Bay.check_in(shop, label=None)

    assert all(one.short == "" for one in cylinders(job_sheet(bay.job)))


def test_a_recovery_over_the_limit_is_refused_and_names_the_limit_that_rules(
    shop: Shop, nearly_full: Container
) -> None:
    bay = Bay.check_in(shop)
    gross = round((nearly_full.cylinder.tare + nearly_full.book).grams)

    with pytest.raises(Refused, match=r"its limit is 9507 g \(80 % of water capacity by weight\)"):
        bay.recover(str(gross), str(gross + 440), cylinder=nearly_full)


def test_what_the_scale_cannot_show_is_kept_back_at_the_limit(shop: Shop, nearly_full: Container) -> None:
    # SC-1 shows 1 g steps; gain 0.1 % of about 17,260 g: 10 g/root(3) x 2 = 19.9 g are kept back of the 435 g
    bay = Bay.check_in(shop)
    gross = round((nearly_full.cylinder.tare + nearly_full.book).grams)

    with pytest.raises(Refused, match="less 20 g for the scale"):
        bay.recover(str(gross), str(gross + 425), cylinder=nearly_full)
    bay.recover(str(gross), str(gross + 410), cylinder=nearly_full)


def test_after_a_recovery_the_next_car_sees_the_room_that_is_left_at_once(
    shop: Shop, nearly_full: Container
) -> None:
    first, gross = Bay.check_in(shop), round((nearly_full.cylinder.tare + nearly_full.book).grams)
    first.recover(str(gross), str(gross + 200), cylinder=nearly_full)
    second = Bay.check_in(shop, plate="SMP-418", label="300")

    shown = {one.room.cylinder.code: one for one in cylinders(job_sheet(second.job))}
    assert shown["RC-09"].weighs.grams == gross + 200
    assert "300 g" in shown["RC-09"].short
