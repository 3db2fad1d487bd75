"""Who typed it: a reading that a scale sent keeps the scale's own line; any other is typed. And what a scan finds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.test import Client

from inventory.models import Container, CountLine, WeighTicket
from inventory.services import CountedIn, CountIn, TicketIn, record_count, weigh
from inventory.sheets import tickets_sheet
from tests.conftest import SignOn
from tests.factories import (
    DAY,
    NOON,
    Shop,
    cans_of,
    make_establishment,
    make_owner,
    reading,
    receive,
    ticket_in,
)
from tests.pages import send, text

WEIGH = "/containers/K-0001/weigh/"


@pytest.fixture
def can(shop: Shop) -> Container:
    return cans_of(receive(shop))[0]


@pytest.fixture
def dev(shop: Shop, can: Container, sign_on: SignOn) -> Client:
    return sign_on(shop.dev)


def test_a_reading_taken_from_the_scale_keeps_the_line(shop: Shop, dev: Client) -> None:
    send(
        dev, WEIGH, scale=shop.scale.pk, reading="466", style="bare can", reading_line="SC-1 ST,GS,+00466.0 g"
    )

    ticket = WeighTicket.objects.get()
    assert (ticket.reading_text, ticket.scale_line) == ("466", "ST,GS,+00466.0 g")
    assert ticket.entered == "from scale SC-1"
    assert "taken from the scale, which sent “ST,GS,+00466.0 g”" in text(dev.get("/containers/K-0001/"))
    (row,) = list(tickets_sheet(shop.establishment).rows)
    assert {"from scale SC-1", "ST,GS,+00466.0 g"} <= set(map(str, row))


@pytest.mark.parametrize(
    "line",
    [
        "",
        "SC-1",
        "SC-2 466 g",  # another scale's
        "SC-1 467 g",  # another number: somebody put it right by hand
        "SC-1 466",
        "SC-1 466 oz",
        "SC-1 0.466 kg",  # the same weight, but not what the ticket says
        "SC-1 US,GS,+00466 g",
        "SC-1 -466 g",
        "SC-1 OL",
        "SC-1 466 g\0",
        "SC-1 466 g\n",
        f"SC-1 {'9' * 60} g",
        f"SC-1 466{' ' * 80}g",
        "SC-1 <b>466 g</b>",
    ],
)
def test_any_other_reading_is_typed(shop: Shop, dev: Client, line: str) -> None:
    send(dev, WEIGH, scale=shop.scale.pk, reading="466", style="bare can", reading_line=line)

    ticket = WeighTicket.objects.get()
    assert (ticket.reading_text, ticket.scale_line, ticket.entered) == ("466", "", "typed")


def test_the_line_comes_back_with_a_page_that_asks(shop: Shop, can: Container, dev: Client) -> None:
    weigh(can, ticket_in(shop, "466"), at=NOON, by=shop.dev)
    line = "SC-1 + 470 g"

    page = send(dev, WEIGH, scale=shop.scale.pk, reading="470", style="bare can", reading_line=line)

    assert WeighTicket.objects.count() == 1
    assert f'name="reading_line" value="{line}"' in page.content.decode()


def test_a_count_keeps_the_lines_of_its_weights(shop: Shop, can: Container) -> None:
    """Each weight of a count is a ticket like any other."""
    taken = TicketIn(shop.scale, replace(reading("300"), line="300 g"))

    counted = CountIn(DAY, [CountedIn(can, CountLine.How.WEIGHED, taken)])
    record_count(counted, shop.establishment, at=NOON, by=shop.lee)

    assert WeighTicket.objects.get().entered == "from scale SC-1"


# --- What was scanned


@pytest.mark.parametrize("number", ["K-0001", "1", "https://tarebook.example/containers/k-0001/"])
def test_a_scanned_number_is_known(dev: Client, number: str) -> None:
    assert dev.get("/containers/known/", {"number": number}).json() == {
        "number": "K-0001",
        "known": True,
        "says": "",
    }


@pytest.mark.parametrize("number", ["K-9999", "", "K-0001\0x", "<b>", "x" * 500])
def test_a_strange_number_is_said(dev: Client, number: str) -> None:
    answer = dev.get("/containers/known/", {"number": number}).json()

    assert not answer["known"]
    assert answer["says"].startswith("There is no can or cylinder ")
    assert len(answer["says"]) < 100


def test_another_shop_s_can_is_as_strange_as_any(can: Container, sign_on: SignOn) -> None:
    stranger = make_owner(make_establishment("Other Shop"), "Nell Ames")

    assert not sign_on(stranger).get("/containers/known/", {"number": can.code}).json()["known"]


def test_find_opens_the_page_of_a_scanned_label(dev: Client) -> None:
    host = "a-rather-long-name-of-a-machine.in-the-shop.tarebook.example:8443"

    answer = dev.get("/find/", {"q": f"https://{host}/containers/K-0001/"})

    assert answer.headers["Location"] == "/containers/K-0001/"


def test_pages_may_use_the_camera_and_a_serial_port_and_nothing_else(dev: Client) -> None:
    allowed = dev.get(WEIGH).headers["Permissions-Policy"].split(", ")

    assert {one for one in allowed if not one.endswith("=()")} == {"camera=(self)", "serial=(self)"}
    assert "microphone=()" in allowed
