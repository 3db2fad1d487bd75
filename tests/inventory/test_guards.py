"""The refrigerant book's own guards: what the database refuses whoever asks."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import DatabaseError, transaction

from inventory.core.ledger import Leg, Purpose
from inventory.models import Container, Delivery, Entry, MonthClose, Movement
from inventory.posting import post, reverse
from inventory.queries import flows_up_to
from inventory.services import LineIn, close_months, receive_delivery
from shop.core.findings import Refused
from shop.core.mass import Mass, grams
from tests.factories import DAY, NOON, Shop, cans_of, delivery_in, make_establishment, receive


@pytest.fixture
def can(shop: Shop) -> Container:
    return cans_of(receive(shop, LineIn(shop.can12, 1, 1)))[0]


def movement(shop: Shop, **changed: Any) -> Movement:
    """A movement that the database would take: 100 g from K-0001 to vehicles. ``on`` is the entry's day."""
    entry = changed.pop("entry", None) or Entry.objects.create(
        establishment=shop.establishment, on=DAY, text="a test", at=NOON, by=shop.dev
    )
    right = {
        "entry": entry,
        "source_id": "K-0001",
        "target_id": "vehicles",
        "mass": grams(100),
        "purpose": "charged",
        "refrigerant_id": "R-134a",
        "establishment": shop.establishment,
        "on": entry.on,
        "source_kind": "can",
        "target_kind": "vehicles",
    }
    return Movement(**{**right, **changed})


def draw(shop: Shop, mass: Mass, on: date = DAY) -> Entry:
    leg = Leg("K-0001", "vehicles", mass, Purpose.CHARGED)
    return post(shop.establishment, [leg], on=on, text="a test", at=NOON, by=shop.dev)


# --- No container gives more than it holds


def test_a_can_gives_what_it_holds_to_the_last_microgram(shop: Shop, can: Container) -> None:
    movement(shop, mass=grams(340)).save()

    with pytest.raises(DatabaseError, match="no more than it holds"), transaction.atomic():
        movement(shop, mass=Mass(1)).save()


def test_a_can_gives_no_more_than_it_holds(shop: Shop, can: Container) -> None:
    with pytest.raises(DatabaseError, match="no more than it holds"), transaction.atomic():
        movement(shop, mass=grams(340) + Mass(1)).save()


def test_many_small_draws_in_one_statement_are_added_up(shop: Shop, can: Container) -> None:
    rows = [movement(shop, mass=grams(100)) for _ in range(4)]

    with pytest.raises(DatabaseError, match="no more than it holds"), transaction.atomic():
        Movement.objects.bulk_create(rows)
    assert not Movement.objects.filter(source="K-0001").exists()


def test_the_pen_says_in_words_what_the_guard_would_refuse(shop: Shop, can: Container) -> None:
    with pytest.raises(Refused, match=r"K-0001 holds 340.0 g by the book; 340.1 g cannot leave it"):
        draw(shop, grams("340.1"))
    assert Entry.objects.count() == 1


def test_an_entry_is_not_reversed_once_what_it_brought_is_gone(shop: Shop, can: Container) -> None:
    draw(shop, grams(1))

    with pytest.raises(Refused, match=r"K-0001 holds 339\.0 g"):
        reverse(Delivery.objects.get().entry, on=DAY, text="undone", at=NOON, by=shop.marta)


def test_an_entry_is_reversed_once(shop: Shop, can: Container) -> None:
    entry = draw(shop, grams(100))
    reverse(entry, on=DAY, text="undone", at=NOON, by=shop.marta)
    draw(shop, grams(100))

    with pytest.raises(DatabaseError), transaction.atomic():
        reverse(entry, on=DAY, text="undone again", at=NOON, by=shop.marta)


# --- A movement repeats its entry and its places truly


@pytest.mark.parametrize(
    "changed",
    [
        {"on": DAY - timedelta(days=1)},
        {"source_kind": "supplier"},
        {"target_kind": "air"},
        {"refrigerant_id": "R-1234yf"},
        {"target_id": "RC-05", "target_kind": "cylinder"},
    ],
    ids=[
        "another day",
        "a can told as a supplier",
        "vehicles told as air",
        "another gas",
        "a cylinder of another gas",
    ],
)
def test_a_movement_that_tells_it_wrongly_is_refused(
    shop: Shop, can: Container, changed: dict[str, Any]
) -> None:
    with pytest.raises(DatabaseError, match="disagrees with its entry or its places"), transaction.atomic():
        movement(shop, **changed).save()


def test_a_movement_stays_in_its_own_shop(shop: Shop, can: Container) -> None:
    other = make_establishment("Sample Garage")
    entry = Entry.objects.create(establishment=other, on=DAY, text="a test", at=NOON, by=shop.dev)

    for establishment in (other, shop.establishment):
        with pytest.raises(DatabaseError, match="disagrees"), transaction.atomic():
            movement(shop, entry=entry, establishment=establishment).save()


@pytest.mark.parametrize(
    ("changed", "constraint"),
    [
        ({"mass": Mass(0)}, "movement_has_mass"),
        ({"mass": Mass(-1)}, "movement_has_mass"),
        ({"target_id": "K-0001", "target_kind": "can"}, "movement_goes_somewhere"),
        ({"purpose": "lost"}, "movement_has_a_known_purpose"),
    ],
)
def test_a_movement_has_mass_and_goes_somewhere_for_a_reason(
    shop: Shop, can: Container, changed: dict[str, Any], constraint: str
) -> None:
    with pytest.raises(DatabaseError, match=constraint), transaction.atomic():
        movement(shop, **changed).save()


def test_a_movement_between_places_that_are_none_is_refused(shop: Shop, can: Container) -> None:
    with pytest.raises(DatabaseError), transaction.atomic():
        movement(shop, target_id="the moon", target_kind="moon").save()


# --- A closed month


@pytest.fixture
def closed(shop: Shop, can: Container) -> Shop:
    """April 2024 is closed."""
    close_months(shop.establishment, last_day=date(2024, 4, 30), at=NOON, by=shop.marta)
    return shop


def test_a_closed_month_takes_no_entries(closed: Shop) -> None:
    with pytest.raises(DatabaseError, match="closed month"), transaction.atomic():
        Entry.objects.create(establishment=closed.establishment, on=DAY, text="late", at=NOON, by=closed.dev)
    with pytest.raises(Refused, match="closed up to Apr 30 2024"):
        draw(closed, grams(1))


def test_an_entry_of_a_closed_month_takes_no_more_movements(closed: Shop) -> None:
    with pytest.raises(DatabaseError, match="closed month"), transaction.atomic():
        movement(closed, entry=Delivery.objects.get().entry).save()


def test_the_day_after_a_closed_month_is_open(closed: Shop) -> None:
    assert draw(closed, grams(1), on=date(2024, 5, 1)).on == date(2024, 5, 1)


def test_a_late_slip_of_a_closed_month_is_booked_today(closed: Shop) -> None:
    late = delivery_in(closed, LineIn(closed.can12, 1, 1), slip="88500", on=date(2024, 4, 29))
    delivery = receive_delivery(late, closed.establishment, today=date(2024, 5, 2), at=NOON, by=closed.lee)

    assert (delivery.on, delivery.entry.on) == (date(2024, 4, 29), date(2024, 5, 2))


def test_a_month_is_closed_once(closed: Shop) -> None:
    for day in (date(2024, 4, 30), date(2024, 3, 31)):
        assert close_months(closed.establishment, last_day=day, at=NOON, by=closed.marta) is None
    assert MonthClose.objects.count() == 1


def test_another_shop_keeps_its_own_months(closed: Shop) -> None:
    other = make_establishment("Sample Garage")

    assert Entry.objects.create(establishment=other, on=DAY, text="a test", at=NOON, by=closed.dev).pk


def test_the_sums_of_a_closed_month_and_its_tail_are_the_sums_of_all(closed: Shop) -> None:
    draw(closed, grams(40), on=date(2024, 5, 1))
    flows = flows_up_to(closed.establishment, date(2024, 5, 31))

    assert flows["R-134a", "received", "supplier", "can"] == (grams(340), 1)
    assert flows["R-134a", "charged", "can", "vehicles"] == (grams(40), 1)
    assert ("R-134a", "charged", "can", "vehicles") not in flows_up_to(
        closed.establishment, date(2024, 4, 30)
    )
