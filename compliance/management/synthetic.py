"""A synthetic history of one shop, as large as one likes, for measuring."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from django.db import transaction

from compliance.management.practice_work import ZONE
from inventory.models import Container, Entry, Movement, Place
from shop.core.mass import Mass
from shop.models import Establishment, Person


@transaction.atomic
def synthetic_history(shop: Establishment, owner: Person, size: int) -> date:
    """A synthetic history of so many movements in one establishment: deliveries and charges, ten a day."""
    began, cans = date(2020, 1, 1), max(size // 8, 1)
    at = datetime(2026, 7, 2, tzinfo=ZONE)
    places = [can_code(shop, number) for number in range(cans)]
    Place.objects.bulk_create([Place(code=code, kind="can") for code in places], batch_size=5000)
    Container.objects.bulk_create(
        [
            Container(
                place_id=code,
                establishment=shop,
                refrigerant_id="R-134a",
                kind="can",
                came_on=began,
                at=at,
                by=owner,
            )
            for code in places
        ],
        batch_size=2000,
    )
    days = size // 10 or 1
    Entry.objects.bulk_create(
        [
            Entry(establishment=shop, on=began + timedelta(days=n % 2200), text="bench", at=at, by=owner)
            for n in range(days)
        ],
        batch_size=2000,
    )
    entries = list(Entry.objects.filter(establishment=shop).order_by("pk"))
    Movement.objects.bulk_create(list(_movements(shop, entries, places, size)), batch_size=2000)
    return max(entry.on for entry in entries)


def can_code(shop: Establishment, number: int) -> str:
    return f"B{shop.pk}-{number:06d}"


def _movements(shop: Establishment, entries: list[Entry], places: list[str], size: int) -> Iterator[Movement]:
    for n in range(size):
        can, entry = places[n // 8 % len(places)], entries[n // 10 % len(entries)]
        first = n % 8 == 0
        source, target = ("supplier", can) if first else (can, "vehicles")
        yield Movement(
            entry=entry,
            source_id=source,
            target_id=target,
            mass=Mass(340_000_000 if first else 40_000_000),
            purpose="received" if first else "charged",
            refrigerant_id="R-134a",
            establishment=shop,
            on=entry.on,
            source_kind="supplier" if first else "can",
            target_kind="can" if first else "vehicles",
        )
