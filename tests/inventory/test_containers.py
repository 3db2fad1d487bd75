"""One container: its page, and weighing it on the shelf."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from inventory.core.weighing import Style
from inventory.models import Container, Delivery, Fate, Movement, SpokenFor, WeighTicket
from inventory.services import (
    LineIn,
    MoveIn,
    TicketIn,
    add_spot,
    end_use,
    move_containers,
    print_labels,
    put_on_hold,
    split_lot,
    weigh,
    weigh_in_cabinet,
)
from shop.core.findings import Refused
from shop.core.mass import Unit
from shop.services import retire_equipment
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
from tests.pages import errors, said, send, text

CAN, WEIGH = "/containers/K-0001/", "/containers/K-0001/weigh/"


@pytest.fixture
def can(shop: Shop) -> Container:
    """K-0001, a sealed 12-oz can of lot L24B-07."""
    return cans_of(receive(shop, LineIn(shop.can12, 2, 2, lots=(("L24B-07", 2),))))[0]


# --- The page


@pytest.mark.parametrize("who", ["lee", "dev", "marta"])
def test_everyone_reads_a_can_s_life(shop: Shop, can: Container, sign_on: SignOn, who: str) -> None:
    weigh(can, ticket_in(shop, "466"), at=NOON, by=shop.dev)
    page = text(sign_on(getattr(shop, who)).get(CAN))

    assert "Holds, by the book 340 g 12.0 oz" in page
    assert "Last weigh ticket 466 g bare can, Apr 2 2024, 12:00" in page
    assert "lot L24B-07" in page.replace("Lot", "lot")
    assert "Received from Sample Parts Supply, slip 88412" in page
    assert "with D24-0001 from Sample Parts Supply" in page


def test_a_life_is_one_list_with_everything_that_was_said(
    shop: Shop, can: Container, dev: Client, lee: Client
) -> None:
    shelf = add_spot("top shelf", "shelf", shop.establishment, at=NOON, by=shop.lee)
    move_containers(MoveIn([can], shelf, at_once=True), at=NOON, by=shop.lee)
    print_labels([can], "strip", shop.establishment, at=NOON, by=shop.lee)
    split_lot(Delivery.objects.get(), [can], "L24B-08", at=NOON, by=shop.lee)
    weigh(can, ticket_in(shop, "466"), at=NOON, by=shop.dev)
    put_on_hold(can, why="smells of oil", at=NOON, by=shop.dev)
    words = text(dev.get(CAN))

    for line in (
        "Came from Sample Parts Supply, slip 88412 D24-0001",
        "340.0 g in from supplier, received",
        "Given off for top shelf",
        "Arrived: top shelf",
        "Label printed The labels",
        "Is of lot L24B-08 Recall",
        "Weigh ticket 1: 466 g on SC-1, bare can",
        "On hold: smells of oil",
        "By the book 340 g at most, 340 g now. Weigh tickets: 1; the last says 340 g.",
    ):
        assert line in words, line
    only = text(dev.get(f"{CAN}?only=weights"))
    assert "Weigh ticket 1" in only
    assert "Given off" not in only


def test_a_long_life_is_asked_for_in_as_many_questions_as_a_short_one(
    shop: Shop, can: Container, dev: Client
) -> None:
    def questions() -> int:
        with CaptureQueriesContext(connection) as seen:
            assert dev.get(CAN).status_code == 200
        return len(seen)

    weigh(can, ticket_in(shop, "466"), at=NOON, by=shop.dev)
    few = questions()
    for gross in range(465, 385, -1):
        weigh(can, ticket_in(shop, str(gross)), at=NOON, by=shop.dev)
    assert questions() == few
    page = text(dev.get(CAN))
    assert "Show all 83" in page  # 81 tickets, one movement, one delivery
    assert "Weigh ticket 1:" not in page
    assert "Weigh ticket 1:" in text(dev.get(f"{CAN}?all=yes"))


def test_a_sealed_can_says_so(shop: Shop, can: Container, dev: Client) -> None:
    assert "Never weighed here. Sealed: its label says what it holds." in text(dev.get(CAN))


def test_a_cylinder_shows_its_stamps_and_its_room(shop: Shop, dev: Client) -> None:
    # 80 % of 26.2 lb is 20.96 lb = 9,507.3 g.
    page = text(dev.get("/containers/RC-02/"))

    assert "Tare, TW 17.1 lb (7,756 g)" in page
    assert "Filled to at most 9,507 g (335.4 oz): 80 % of water capacity by weight" in page
    assert "0 % of its limit" in page


def test_a_container_of_another_shop_is_not_there(shop: Shop, can: Container, sign_on: SignOn) -> None:
    other = sign_on(make_owner(make_establishment("Sample Garage"), "Otto Binder"))

    assert other.get(CAN).status_code == 404
    assert other.get(WEIGH).status_code == 404


@pytest.mark.parametrize("code", ["K-9999", "supplier", "x" * 200])
def test_a_container_that_is_none_is_not_found(shop: Shop, dev: Client, code: str) -> None:
    assert dev.get(f"/containers/{code}/").status_code == 404


def test_a_can_out_of_use_is_not_offered_to_the_scale(shop: Shop, can: Container, dev: Client) -> None:
    end_use(can, Fate.What.EMPTIED, why="", at=NOON, by=shop.dev)
    page = text(dev.get(CAN))

    assert "Emptied" in page
    assert "Weigh it" not in page


# --- Weighing


@pytest.mark.parametrize("who", ["lee", "dev", "marta"])
def test_everyone_weighs(shop: Shop, can: Container, sign_on: SignOn, who: str) -> None:
    client = sign_on(getattr(shop, who))
    moved = Movement.objects.count()
    page = client.get(send(client, WEIGH, scale=shop.scale.pk, reading="466", style=Style.BARE)["Location"])

    assert said(page) == ["Weigh ticket 1: K-0001, 466 g."]
    assert WeighTicket.objects.get().by == getattr(shop, who)
    assert Movement.objects.count() == moved


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("reading", {"reading": ""}, "Type what the scale shows."),
        ("reading", {"reading": "heavy"}, ""),
        ("reading", {"reading": "-466"}, "below zero"),
        ("reading", {"reading": "466.3"}, ""),
        ("reading", {"reading": "16.4 oz"}, ""),
        ("reading", {"reading": "16 fl oz"}, "volume"),
        ("reading", {"reading": "15 troy oz"}, "troy"),
        ("reading", {"reading": "1,466"}, ""),
        ("reading", {"reading": "9999999999"}, ""),
        ("reading", {"reading": "506"}, "full can of this kind weighs about 466 g"),
        ("reading", {"reading": "60"}, "empty shell of this kind weighs about 126 g"),
        ("reading", {"reading": "16"}, "looks like ounces (= 454 g)"),
        ("scale", {"scale": ""}, "required"),
        ("scale", {"scale": "999999"}, "Select a valid choice"),
        ("style", {"style": "with both hands"}, "Select a valid choice"),
    ],
)
def test_what_is_wrong_with_a_reading_stands_on_its_field(
    shop: Shop, can: Container, dev: Client, field: str, changed: dict[str, str], sentence: str
) -> None:
    right = {"scale": str(shop.scale.pk), "reading": "466", "style": Style.BARE.value}
    response = send(dev, WEIGH, **{**right, **changed})

    found = errors(response, field)
    assert found
    assert sentence in " ".join(found)
    assert not WeighTicket.objects.exists()


def test_a_scale_out_of_service_is_not_offered(shop: Shop, can: Container, dev: Client) -> None:
    retire_equipment(shop.scale, last_day=DAY, why="broken", at=NOON, by=shop.marta)

    assert "No scale is in service." in text(dev.get(WEIGH))


def test_a_cylinder_is_weighed_without_a_style(shop: Shop, lee: Client) -> None:
    send(lee, "/containers/RC-02/weigh/", scale=shop.scale.pk, reading="7900")

    assert WeighTicket.objects.get().container == shop.rc02
    assert errors(send(lee, "/containers/RC-02/weigh/", scale=shop.scale.pk, reading="7000"), "reading") == [
        "RC-02 weighs less than its stamped tare. Check the number and its unit."
    ]


def test_a_reading_that_looks_odd_is_asked_about_once_and_then_kept(
    shop: Shop, can: Container, dev: Client
) -> None:
    right = {"scale": str(shop.scale.pk), "reading": "440", "style": Style.BARE.value}
    asked = send(dev, WEIGH, **right)
    assert "26 g lighter than a full can" in text(asked)
    assert not WeighTicket.objects.exists()

    kept = send(dev, WEIGH, **right, seen=asked.context["form"]["seen"].value())

    assert kept.status_code == 302
    assert WeighTicket.objects.get().reading_text == "440"


# --- The services


def test_a_can_cannot_gain_weight(shop: Shop, can: Container) -> None:
    weigh(can, ticket_in(shop, "300"), at=NOON, by=shop.dev)

    with pytest.raises(Refused, match="A can cannot gain"):
        weigh_in_cabinet(can, ticket_in(shop, "325"), at=NOON, by=shop.dev)
    assert WeighTicket.objects.count() == 1


def test_swapped_digits_do_not_let_a_can_gain_weight(shop: Shop, can: Container) -> None:
    """310 is 301 with two digits swapped, and 301 would be the can; 310 it cannot be, whatever is answered."""
    weigh(can, ticket_in(shop, "300"), at=NOON, by=shop.dev)

    with pytest.raises(Refused, match="Were two digits swapped"):
        weigh_in_cabinet(can, ticket_in(shop, "310"), seen=("digits-swapped",), at=NOON, by=shop.dev)
    assert WeighTicket.objects.count() == 1


def test_a_little_frost_is_let_through(shop: Shop, can: Container) -> None:
    weigh(can, ticket_in(shop, "300"), at=NOON, by=shop.dev)

    assert weigh_in_cabinet(can, ticket_in(shop, "302"), at=NOON, by=shop.dev).number == 2


def test_a_can_out_of_use_is_not_weighed(shop: Shop, can: Container) -> None:
    end_use(can, Fate.What.EMPTIED, why="", at=NOON, by=shop.dev)

    with pytest.raises(Refused, match="out of use"):
        weigh_in_cabinet(can, ticket_in(shop, "466"), at=NOON, by=shop.dev)


def test_a_can_of_an_open_job_is_weighed_on_that_job(shop: Shop, can: Container, dev: Client) -> None:
    SpokenFor.objects.create(container=can, holder="J24-0001")

    with pytest.raises(Refused, match="belongs to the open job J24-0001"):
        weigh_in_cabinet(can, ticket_in(shop, "466"), at=NOON, by=shop.dev)
    assert "Weigh it" not in text(dev.get(CAN))


def test_the_use_of_a_can_ends_once(shop: Shop, can: Container) -> None:
    end_use(can, Fate.What.EMPTIED, why="", at=NOON, by=shop.dev)

    with pytest.raises(Refused, match="already ended"):
        end_use(can, Fate.What.RETURNED, why="", at=NOON, by=shop.dev)


def test_a_cylinder_in_pounds_read_as_kilograms_is_seen(shop: Shop) -> None:
    """25 lb is a cylinder with something in it; 25 kg is more than it can hold."""
    fine = TicketIn(shop.scale, reading("25", Unit.LB))
    wrong = TicketIn(shop.scale, reading("25", Unit.KG))

    assert weigh_in_cabinet(shop.rc02, fine, at=NOON, by=shop.dev).number == 1
    with pytest.raises(Refused, match="cannot hold that much"):
        weigh_in_cabinet(shop.rc02, wrong, at=NOON, by=shop.dev)
