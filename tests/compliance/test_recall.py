"""Recall by lot: every vehicle that got of it, every can and where it is, on the page and as a file."""

from __future__ import annotations

import pytest
from django.test import Client

from compliance.queries.recall import recall
from inventory.models import Container
from inventory.services import LineIn, SwapIn, swap_cans
from shop.core.mass import ZERO, grams
from tests.compliance.sheets.reading import sheet
from tests.compliance.work import Bay, Moment
from tests.factories import DAY, NOON, Shop, cans_of, receive, ticket_in
from tests.pages import text


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    """K-0001 and K-0002 of lot A, K-0003 and K-0004 of lot B."""
    return cans_of(receive(shop, LineIn(shop.can12, 4, 4, lots=(("L24A", 2), ("L24B", 2)))))


def test_the_lots_vehicles_and_cans_with_every_gram(shop: Shop, cans: list[Container]) -> None:
    """338 g left K-0001 of lot A, 171 g K-0003 of lot B; 6 g of the first stayed in the hoses."""
    Bay.check_in(shop).straight(cans[0], cans[2])

    found = recall(shop.establishment, "l24a")

    assert [(dose.visit.number, dose.can) for dose in found.doses] == [("J24-0001", "K-0001")]
    assert [can.container.code for can in found.cans] == ["K-0001", "K-0002"]
    first, second = found.cans
    assert (second.into_cars, second.elsewhere, second.container.book) == (ZERO, ZERO, grams(340))
    assert first.into_cars + first.elsewhere + first.container.book == grams(340)
    assert found.doses[0].mass == first.into_cars
    other = recall(shop.establishment, "L24B")
    assert (first.into_cars + other.into_cars, found.vehicles) == (grams(503), 1)


def test_a_can_on_an_open_job_is_told(shop: Shop, cans: list[Container], lee: Client) -> None:
    bay = Bay.check_in(shop, plate="SMP-418")
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)

    page = text(lee.get("/find/lot/", {"lot": "L24A"}))

    assert "on the open job J24-0001" in page
    assert "SMP-418" in page
    assert "job open" in page


def test_cans_that_were_taken_for_each_other_bring_both_their_vehicles(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    """The job was written against K-0001 of lot A; K-0003 of lot B was the lighter one, so it was that."""
    Bay.check_in(shop).straight(cans[0], cans[1])
    swap = SwapIn(cans[1], cans[2], ticket_in(shop, "466"), ticket_in(shop, "293"), "both stood open")
    slip = swap_cans(swap, on=DAY, at=NOON, by=shop.dev)

    found = recall(shop.establishment, "L24B")

    assert [one.number for one in found.slips] == [slip.number]
    assert [(dose.can, dose.slip) for dose in found.doses] == [("K-0002", slip.number)]
    assert slip.number in text(lee.get("/find/lot/", {"lot": "L24B"}))


def test_the_list_leaves_as_a_file_with_phone_and_certificate(
    shop: Shop, cans: list[Container], lee: Client
) -> None:
    Bay.check_in(shop).straight(cans[0], cans[2])

    rows = sheet(lee, "/sheets/recall.csv", lot="L24A")

    assert [(row["can"], row["job"], row["certificate"], row["customer"]) for row in rows] == [
        ("K-0001", "J24-0001", "C24-0001", "Ines Calloway"),
        ("K-0002", "", "", ""),
    ]
    assert (rows[0]["plate"], rows[1]["where"], rows[1]["left_g"]) == ("SMP-417", "Sealed", "340")


def test_it_leads_back_to_where_one_came_from(cans: list[Container], lee: Client) -> None:
    on_the_can = "/find/lot/?lot=L24A&amp;can=K-0001"
    assert on_the_can in lee.get("/containers/K-0001/").content.decode()
    for address, back in (
        (on_the_can.replace("&amp;", "&"), '<a href="/containers/K-0001/">K-0001</a>'),
        ("/find/lot/?lot=L24A&can=K-0003", '<a href="/records/">Records</a>'),  # a can of another lot
        ("/find/lot/?lot=L24A&q=L24%3C", '<a href="/find/?q=L24%3C">Find: L24&lt;</a>'),
        ("/find/lot/", '<a href="/records/">Records</a>'),
    ):
        assert f'<p class="back">{back}</p>' in lee.get(address).content.decode(), address


@pytest.mark.parametrize("lot", ["", "L", "L24", "%", "'; --", "\0", "x" * 500, "=1+1"])
def test_a_lot_that_nobody_knows_finds_nothing(cans: list[Container], lee: Client, lot: str) -> None:
    assert lee.get("/find/lot/", {"lot": lot}).status_code == 200
    assert sheet(lee, "/sheets/recall.csv", lot=lot) == []
