"""Two people at once: nothing is taken twice, nothing is written twice."""

from __future__ import annotations

from datetime import date
from threading import Barrier, Thread
from typing import Any

from django.db import connections, transaction
from django.test import Client

from inventory.core.ledger import Leg, Purpose
from inventory.models import Container, Delivery, Entry, Movement
from inventory.posting import post
from inventory.services import LineIn, receive_delivery
from shop.core.findings import Refused
from shop.core.mass import Mass, grams
from shop.models import FormSent
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, delivery_in, make_shop, receive
from tests.pages import send


def draw(shop: Shop, mass: Mass, on: date = DAY) -> Entry:
    leg = Leg("K-0001", "vehicles", mass, Purpose.CHARGED)
    return post(shop.establishment, [leg], on=on, text="a test", at=NOON, by=shop.dev)


def at_once(*doings: Any) -> list[Any]:
    """What each of these came to, all begun at the same moment: an answer or a refusal."""
    barrier, answers = Barrier(len(doings)), []

    def run(doing: Any) -> None:
        barrier.wait()
        try:
            answers.append(doing())
        except Refused as refused:
            answers.append(refused)
        finally:
            connections.close_all()

    threads = [Thread(target=run, args=[doing]) for doing in doings]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return answers


def test_the_same_slip_typed_by_two_people_at_once_is_in_once(live_db: None) -> None:
    shop = make_shop()
    slip = delivery_in(shop)

    def receives(by: Any) -> Any:
        return lambda: receive_delivery(slip, shop.establishment, today=DAY, at=NOON, by=by)

    answers = at_once(receives(shop.lee), receives(shop.marta))

    assert sorted(type(answer).__name__ for answer in answers) == ["Delivery", "Refused"]
    assert [one.code for answer in answers if isinstance(answer, Refused) for one in answer.findings] == [
        "slip-already-in"
    ]
    assert Container.objects.filter(kind="can").count() == 12


def test_two_people_do_not_draw_the_same_gram(live_db: None) -> None:
    shop = make_shop()
    receive(shop, LineIn(shop.can12, 1, 1))

    def draws() -> Entry:
        with transaction.atomic():
            return draw(shop, grams(200))

    answers = at_once(draws, draws)

    assert sorted(type(answer).__name__ for answer in answers) == ["Entry", "Refused"]
    assert Movement.objects.filter(source="K-0001").count() == 1


def test_a_form_sent_twice_at_once_is_written_once(live_db: None, sign_on: SignOn) -> None:
    shop = make_shop()
    clients: list[Client] = [sign_on(shop.lee), sign_on(shop.lee)]
    data = {"name": "Example Cold Goods"}

    answers = at_once(
        *(lambda c=c: send(c, "/suppliers/new/", once="same", **data)["Location"] for c in clients)
    )

    assert answers == ["/deliveries/new/"] * 2
    assert FormSent.objects.count() == 1


def test_numbers_have_no_gaps_and_no_doubles(live_db: None) -> None:
    shop = make_shop()

    def receives(slip: str) -> Any:
        return lambda: receive(shop, LineIn(shop.can12, 5, 5), slip=slip)

    at_once(*(receives(str(number)) for number in range(4)))

    assert [can.code for can in Container.objects.filter(kind="can")] == [f"K-{n:04d}" for n in range(1, 21)]
    assert sorted(Delivery.objects.values_list("number", flat=True)) == [f"D24-{n:04d}" for n in range(1, 5)]
