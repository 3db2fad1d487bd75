"""The hose set H-1 measured by weighing, and adopted by the owner."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from compliance.queries.whole_book import whole_book_findings
from inventory.models import Container, HoseMeasure, Movement, WeighTicket
from inventory.queries import adopted_on
from inventory.services import adopt_hose_measure, mark_mixed, measure_hoses
from shop.core.findings import Refused
from shop.core.mass import grams
from shop.models import ShopRule
from shop.queries import rules_on
from tests.compliance.work import Bay, Moment
from tests.factories import DAY, NOON, Shop, book_of, cans_of, cylinder_holding, hoses_in, receive


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


@pytest.fixture
def measured(shop: Shop, cans: list[Container]) -> HoseMeasure:
    return measure_hoses(hoses_in(shop, cans[0]), on=DAY, at=NOON, by=shop.dev)


def adopt(measure: HoseMeasure, shop: Shop, from_day: date = DAY) -> tuple[ShopRule, ShopRule]:
    return adopt_hose_measure(measure, from_day=from_day, today=DAY, at=NOON, by=shop.marta)


def refused(shop: Shop, can: Container, *weights: str, **said: Any) -> dict[str, str]:
    """Field and code of everything that stood against it; nothing is written."""
    before = WeighTicket.objects.count()
    with pytest.raises(Refused) as error:
        measure_hoses(hoses_in(shop, can, *weights, **said), on=DAY, at=NOON, by=shop.dev)
    assert (WeighTicket.objects.count(), HoseMeasure.objects.count()) == (before, 0)
    return {one.field: one.code for one in error.value.findings if one.blocks}


def test_three_fillings_are_four_tickets_one_movement_and_a_result(shop: Shop, measured: HoseMeasure) -> None:
    assert measured.number == "HM24-0001"
    assert measured.refrigerant == "R-134a"
    assert [ticket.reading_text for ticket in measured.tickets] == ["466", "460", "454", "447"]
    # 6, 6, 7 g: mean 6.33; 4.303 x 0.577 x sqrt(4/3) = 2.87
    assert (measured.allowance, measured.give_or_take) == (grams("6.3"), grams("2.9"))
    (moved,) = Movement.objects.filter(entry=measured.entry)
    assert (moved.source_id, moved.target_id, moved.mass) == ("K-0001", "RC-02", grams(19))
    assert moved.purpose == "recovered back"
    assert (book_of(shop)["K-0001"], book_of(shop)["RC-02"]) == (grams(321), grams(19))
    assert whole_book_findings() == []


def test_the_can_goes_on_a_car_afterwards_without_a_question(
    shop: Shop, cans: list[Container], measured: HoseMeasure
) -> None:
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    assert bay.weigh(cans[0], "447", Moment.BEFORE).ticket.gross == grams(447)


def test_nothing_is_the_shops_rule_before_the_owner_says_so(shop: Shop, measured: HoseMeasure) -> None:
    assert rules_on(shop.establishment, DAY).hose_allowance_g == Decimal("6")
    assert adopted_on(measured) is None


def test_the_owner_adopts_it_from_a_day_on_with_the_measurement_as_its_basis(
    shop: Shop, measured: HoseMeasure
) -> None:
    later = DAY + timedelta(days=3)
    allowance, wide = adopt(measured, shop, from_day=later)
    rules = rules_on(shop.establishment, later)
    assert (rules.hose_allowance_g, rules.hose_give_or_take_g) == (Decimal("6.3"), Decimal("2.9"))
    assert rules_on(shop.establishment, DAY).hose_allowance_g == Decimal("6")
    for rule in (allowance, wide):
        assert rule.basis.startswith("HM24-0001: H-1, R-134a vapour, 6.0, 6.0, 7.0 g in three fillings")
        assert rule.basis.endswith("Dev Larkin")
    assert adopted_on(measured) == allowance


def test_no_rule_starts_in_the_past(shop: Shop, measured: HoseMeasure) -> None:
    with pytest.raises(Refused, match="starts today or later"):
        adopt(measured, shop, from_day=DAY - timedelta(days=1))
    assert not ShopRule.objects.exists()


def test_fillings_that_differ_wildly_are_kept_but_never_a_rule(shop: Shop, cans: list[Container]) -> None:
    wild = hoses_in(shop, cans[0], "466", "460", "450", "447")
    measure = measure_hoses(wild, on=DAY, at=NOON, by=shop.dev)
    with pytest.raises(Refused, match="Measure again"):
        adopt(measure, shop)


@pytest.mark.parametrize(
    ("weights", "field", "code"),
    [
        (("466", "466", "460", "454"), "first", "filling-nothing"),
        (("466", "460", "475", "454"), "second", "can-gained"),
        (("466", "460", "454", "380"), "third", "filling-absurd"),
        (("16.4", "460", "454", "447"), "before", "unit-slip"),
        (("430", "424", "418", "412"), "before", "sealed-light"),
        (("600", "460", "454", "447"), "before", "can-above-full"),
    ],
)
def test_a_weight_that_cannot_be_is_refused_beside_its_box(
    shop: Shop, cans: list[Container], weights: tuple[str, ...], field: str, code: str
) -> None:
    assert refused(shop, cans[0], *weights)[field] == code


def test_a_can_on_a_car_is_not_taken_for_it(shop: Shop, cans: list[Container]) -> None:
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    assert refused(shop, cans[0])["can"] == "spoken-for"


def test_only_a_cylinder_of_that_refrigerant_with_room_takes_it(shop: Shop, cans: list[Container]) -> None:
    full = cylinder_holding(shop, "RC-09", "20.95")  # 80 % of 26.2 lb is 20.96 lb: 4.5 g of room
    assert refused(shop, cans[0], cylinder=shop.rc05)["cylinder"] == "cylinder-refrigerant"
    assert refused(shop, cans[0], cylinder=cans[1])["cylinder"] == "cylinder-refrigerant"
    assert refused(shop, cans[0], cylinder=full)["cylinder"] == "cylinder-full"
    mark_mixed(shop.rc02, since=NOON, why="a mixed car", at=NOON, by=shop.dev)
    shop.rc02.refresh_from_db()
    assert refused(shop, cans[0])["cylinder"] == "cylinder-refrigerant"


def test_somebody_without_a_card_in_force_does_not_sign_it(shop: Shop, cans: list[Container]) -> None:
    with pytest.raises(Refused, match="card"):
        measure_hoses(hoses_in(shop, cans[0]), on=DAY, at=NOON, by=shop.lee)


def typed(shop: Shop, **said: str) -> dict[str, str]:
    return {
        "hoses": "H-1",
        "left": "vapour",
        "can": "k-0001",
        "scale": str(shop.scale.pk),
        "style": "bare can",
        "before": "466",
        "first": "460",
        "second": "454",
        "third": "447",
        "cylinder": "RC-02",
    } | said


def test_a_technician_measures_by_the_page_and_the_owner_adopts_by_the_page(
    shop: Shop, cans: list[Container], dev: Client, marta: Client
) -> None:
    steps = dev.get("/hoses/new/").content.decode()
    assert "nothing is vented" in steps
    assert "freezes skin" in steps

    page = dev.post("/hoses/new/", typed(shop), follow=True).content.decode()
    assert "6.3 g stay in these hoses, give or take 2.9 g." in page
    assert "Make it the shop's rule" not in page
    assert "Student t" in page

    here = f"/hoses/{HoseMeasure.objects.get().number}/"
    marta.post(f"{here}adopt/", {"from_day": "2999-04-02"})
    assert ShopRule.objects.filter(key="hose_allowance_g", value="6.3").exists()
    assert "shop's rule from Apr 2 2999 on, by Marta" in dev.get(here).content.decode()


def test_a_weight_that_cannot_be_stands_beside_its_box_on_the_page(
    shop: Shop, cans: list[Container], dev: Client
) -> None:
    page = dev.post("/hoses/new/", typed(shop, second="460")).content.decode()
    assert "Nothing left the can." in page
    assert not HoseMeasure.objects.exists()


def test_a_form_sent_twice_measures_once(shop: Shop, cans: list[Container], dev: Client) -> None:
    for _ in range(2):
        dev.post("/hoses/new/", typed(shop) | {"once": "a-key"})
    assert HoseMeasure.objects.count() == 1
