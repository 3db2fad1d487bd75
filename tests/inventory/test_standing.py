"""How several containers stand, by one question: the same as is told of each by the longer way."""

from __future__ import annotations

from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.models import Container
from inventory.queries import containers, standing_now, with_spot, with_standing
from inventory.services import MoveIn, end_hold, move_containers, put_on_hold
from tests.factories import NOON, Shop
from tests.inventory.test_moves import spot


def test_several_are_told_as_each_is_in_the_order_asked_for(shop: Shop, cans: list[Container]) -> None:
    put_on_hold(cans[0], why="smells of oil", at=NOON, by=shop.lee)
    move_containers(MoveIn([cans[2]], spot(shop)), at=NOON, by=shop.lee)
    asked = ["K-0003", "K-9999", "RC-02", "K-0001"]
    with CaptureQueriesContext(connection) as statements:
        told = standing_now(asked)
    assert ([one.pk for one in told], len(statements)) == (["K-0003", "RC-02", "K-0001"], 1)
    by_code = {one.pk: one for one in with_spot(with_standing(containers(shop.establishment)))}
    for one in told:
        whole = by_code[one.pk]
        for name in set(one._fields) - {"fate__what"}:
            assert getattr(one, name) == getattr(whole, name), (one.pk, name)
    assert (told[0].on_the_way, told[2].held_why, standing_now([])) == (True, "smells of oil", [])


def test_the_same_question_asked_again_is_answered_anew(shop: Shop, cans: list[Container]) -> None:
    (before,) = standing_now(["K-0001"])
    put_on_hold(cans[0], why="smells of oil", at=NOON, by=shop.lee)
    (held,) = standing_now(["K-0001"])
    end_hold(cans[0], why="wiped; nothing", at=NOON, by=shop.lee)
    (freed,) = standing_now(["K-0001"])
    assert [one.held_why for one in (before, held, freed)] == [None, "smells of oil", None]
