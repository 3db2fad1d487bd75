"""The heel of a can: recovered and weighed, also when it was more than a heel, and thrown away only when it is none."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from compliance.core.usage_report_facts import ReleaseLine
from compliance.queries.period_lines import disposal_release_lines
from compliance.services import HeelIn, recover_heel
from inventory.models import Container, CountLine, Movement
from inventory.services import CountedIn, CountIn, DisposalIn, dispose_of, mark_mixed, record_count, weigh
from shop.core.findings import Refused
from shop.core.mass import grams
from shop.core.period import Period
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop, cylinder_holding, ticket_in
from tests.pages import send, text


def left_in(shop: Shop, can: Container, weight: str) -> Container:
    """The can after a count that found it at this weight; its shell is 126 g."""
    counted = CountIn(DAY, [CountedIn(can, CountLine.How.WEIGHED, ticket_in(shop, weight))])
    record_count(counted, shop.establishment, at=NOON, by=shop.lee)
    return can


def recover(
    shop: Shop, can: Container, cylinder: Container, empty: str = "126", *, all_of_it: bool = False
) -> None:
    heel = HeelIn(cylinder, ticket_in(shop, empty), all_of_it)
    recover_heel(can, heel, on=DAY, at=NOON, by=shop.dev)


def test_what_the_can_lost_on_the_scale_goes_into_the_cylinder(shop: Shop, cans: list[Container]) -> None:
    can = left_in(shop, cans[0], "135")
    recover(shop, can, shop.rc02, "127")

    moved = Movement.objects.filter(source="K-0001").exclude(purpose="counted")
    # 135 - 127 = 8 g of the 9 g in the book
    assert sorted(moved.values_list("target_id", "mass")) == [
        ("RC-02", grams(8)),
        ("fill difference", grams(1)),
    ]
    assert Container.objects.get(pk="K-0001").fate.what == "emptied"


def test_more_than_a_heel_is_taken_out_only_on_purpose(shop: Shop, cans: list[Container]) -> None:
    can = left_in(shop, cans[0], "226")
    with pytest.raises(Refused, match=r"still holds 100 g by the book, more than a heel \(20 g\)"):
        recover(shop, can, shop.rc02)

    recover(shop, can, shop.rc02, all_of_it=True)
    assert Movement.objects.get(purpose="heel").mass == grams(100)


def test_a_can_of_an_open_job_waits_for_its_closing(bay: Bay, shop: Shop, cans: list[Container]) -> None:
    """Its book still has what the car got; emptied now, the closing would take that out a second time."""
    bay.up_to_charge()
    bay.draw(cans[0], "466", "130", emptied=True)
    with pytest.raises(Refused, match="K-0001 belongs to the open job J24-0001"):
        recover(shop, Container.objects.get(pk="K-0001"), shop.rc02, all_of_it=True)


def test_nothing_good_goes_into_a_mixed_cylinder(shop: Shop, cans: list[Container]) -> None:
    can = left_in(shop, cans[0], "135")
    mark_mixed(shop.rc02, since=NOON, why="a mixed car", at=NOON, by=shop.dev)
    with pytest.raises(Refused, match="RC-02 does not take R-134a"):
        recover(shop, can, shop.rc02)


def test_a_full_cylinder_does_not_take_it(shop: Shop, cans: list[Container]) -> None:
    """RC-08 holds 20.9 lb of at most 20.96 lb: 27 g of room, less what its scale cannot show."""
    can = left_in(shop, cans[0], "226")
    full = cylinder_holding(shop, "RC-08", "20.9")

    with pytest.raises(Refused, match=r"RC-08 has room for .* g, not for 100 g"):
        recover(shop, can, full, all_of_it=True)


def test_the_page_asks_only_when_it_is_more_than_a_heel(
    shop: Shop, cans: list[Container], dev: Client
) -> None:
    left_in(shop, cans[0], "135")
    left_in(shop, cans[1], "226")
    words = "It was more than a heel: all of it was taken out on purpose"

    assert words not in text(dev.get("/containers/K-0001/heel/"))
    assert words in text(dev.get("/containers/K-0002/heel/"))
    typed: dict[str, Any] = {"cylinder": "RC-02", "scale": shop.scale.pk, "empty": "126"}
    typed |= {"style": "bare can", "all_of_it": "on"}
    assert send(dev, "/containers/K-0002/heel/", **typed).status_code == 302
    assert Container.objects.get(pk="K-0002").fate.what == "emptied"


def test_a_heel_thrown_away_stands_among_the_releases_of_the_report(
    shop: Shop, cans: list[Container]
) -> None:
    can = left_in(shop, cans[0], "135")
    weigh(cans[1], ticket_in(shop, "466"), at=NOON, by=shop.dev)
    dispose_of([can], DisposalIn("scrap metal"), on=DAY, at=NOON, by=shop.dev)

    assert disposal_release_lines(shop.establishment, Period.quarter(2024, 2)) == [
        ReleaseLine("2024-04-02", "K-0001", "R-134a", 9_000_000, "disposed of with its heel")
    ]
    assert disposal_release_lines(shop.establishment, Period.quarter(2024, 1)) == []
