"""Where containers stand: a move that both ends agree on, or it is on the way."""

from __future__ import annotations

import pytest
from django.test import Client

from inventory.models import Container, MoveArrived, Spot
from inventory.queries import by_spot, in_the_cabinet, on_the_way, where
from inventory.services import MoveIn, add_spot, confirm_arrival, end_use, move_containers
from shop.core.findings import Refused
from tests.conftest import SignOn
from tests.factories import NOON, Shop, cans_of, make_establishment, make_owner, receive


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


def spot(shop: Shop, name: str = "van 2", kind: str = "van") -> Spot:
    return add_spot(name, kind, shop.establishment, at=NOON, by=shop.lee)


def test_a_can_given_off_is_on_the_way_until_the_other_end_has_it(shop: Shop, cans: list[Container]) -> None:
    (move,) = move_containers(MoveIn([cans[0]], spot(shop)), at=NOON, by=shop.lee)
    there = where(cans[0])
    assert there is not None
    assert there.on_the_way
    assert [one.container_id for one in on_the_way(shop.establishment)] == ["K-0001"]

    confirm_arrival(move, at=NOON, by=shop.dev)

    there = where(cans[0])
    assert there is not None
    assert (there.on_the_way, str(there.spot)) == (False, "van 2")
    assert not on_the_way(shop.establishment).exists()


def test_who_carries_it_there_says_so_at_once(shop: Shop, cans: list[Container]) -> None:
    shelf = spot(shop, "top shelf", "shelf")
    move_containers(MoveIn(cans[:3], shelf, at_once=True), at=NOON, by=shop.lee)
    groups = by_spot(shop.establishment, in_the_cabinet(shop.establishment))
    assert sorted(one.code for one in groups["top shelf"]) == ["K-0001", "K-0002", "K-0003"]
    assert len(groups[""]) == 9 + 2  # the rest of the case, and two cylinders


def test_what_is_on_the_way_is_not_moved_on(shop: Shop, cans: list[Container]) -> None:
    van, shelf = spot(shop), spot(shop, "top shelf", "shelf")
    move_containers(MoveIn([cans[0]], van), at=NOON, by=shop.lee)
    with pytest.raises(Refused, match="is on the way to van 2 since Lee gave it off"):
        move_containers(MoveIn([cans[0]], shelf), at=NOON, by=shop.dev)


def test_what_is_there_already_or_out_of_use_is_refused_and_nothing_moves(
    shop: Shop, cans: list[Container]
) -> None:
    van = spot(shop)
    move_containers(MoveIn([cans[0]], van, at_once=True), at=NOON, by=shop.lee)
    end_use(cans[1], "emptied", why="", at=NOON, by=shop.dev)
    with pytest.raises(Refused) as refused:
        move_containers(MoveIn(cans[:3], van), at=NOON, by=shop.lee)
    assert [one.code for one in refused.value.findings] == ["already-there", "out-of-use"]
    assert where(cans[2]) is None


def test_it_arrives_once(shop: Shop, cans: list[Container]) -> None:
    (move,) = move_containers(MoveIn([cans[0]], spot(shop)), at=NOON, by=shop.lee)
    confirm_arrival(move, at=NOON, by=shop.dev)
    with pytest.raises(Refused, match="arrived in van 2 already"):
        confirm_arrival(move, at=NOON, by=shop.rosa)
    assert MoveArrived.objects.get().by == shop.dev


def test_a_spot_is_named_once(shop: Shop) -> None:
    spot(shop)
    with pytest.raises(Refused, match="already on the list"):
        spot(shop, "Van 2")


def test_a_scanners_list_of_numbers_is_moved_through_the_page(
    shop: Shop, cans: list[Container], dev: Client, lee: Client
) -> None:
    lee.post("/moves/spot/", {"name": "van 2", "kind": "van", "once": "a" * 22})
    typed = {"containers": "k-0001\nK-0002\n\nK-0002 ", "to": Spot.objects.get().pk, "once": "b" * 22}
    lee.post("/moves/new/", typed)
    waiting = list(on_the_way(shop.establishment))
    assert [one.container_id for one in waiting] == ["K-0001", "K-0002"]
    assert "It arrived" in dev.get("/moves/").content.decode()
    dev.post(f"/moves/{waiting[0].pk}/arrived/", {"once": "c" * 22})
    assert "van 2, since" in dev.get("/containers/K-0001/").content.decode()
    assert "on the way to van 2" in dev.get("/containers/K-0002/").content.decode()


def test_a_number_that_is_no_can_is_named(shop: Shop, cans: list[Container], lee: Client) -> None:
    typed = {"containers": "K-0001 K-9999", "to": spot(shop).pk, "once": "b" * 22}
    assert "has the number K-9999" in lee.post("/moves/new/", typed).content.decode()
    assert where(cans[0]) is None


def test_another_shop_moves_nothing_here(shop: Shop, cans: list[Container], sign_on: SignOn) -> None:
    (move,) = move_containers(MoveIn([cans[0]], spot(shop)), at=NOON, by=shop.lee)
    stranger = sign_on(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    assert stranger.post(f"/moves/{move.pk}/arrived/", {"once": "c" * 22}).status_code == 404
    assert on_the_way(shop.establishment).exists()
