"""Synthetic jobs of one shop, as many as one likes, with their words in the index of Find."""

from __future__ import annotations

import random
from datetime import date, datetime, timedelta

from django.db import connection, transaction

from compliance.management.practice_work import ZONE
from compliance.models import CheckIn, Job, Stage
from shop.core.finding import folded
from shop.models import Establishment, Person, SearchTail, Vehicle

VIN_SIGNS = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
SYLLABLES = (
    "ba",
    "cal",
    "do",
    "fen",
    "gar",
    "hol",
    "ker",
    "lan",
    "mor",
    "nel",
    "ost",
    "per",
    "ral",
    "sten",
    "way",
)
FIRST = ("Ada", "Bo", "Ines", "Jo", "Kim", "Lena", "Marco", "Nora", "Otis", "Pia", "Rosa", "Sam")
VISITS = 2  # of a car, on the whole
AT_ONCE = 5000
ENDINGS = {  # the endings of all words from one letter on
    "sqlite": """
        INSERT INTO shop_searchtail (establishment_id, kind, key, word, tail, "inner")
        SELECT establishment_id, kind, key, word, CAST(substr(word, %s) AS BLOB), %s FROM shop_searchtail
        WHERE establishment_id = %s AND "inner" = %s AND length(word) > %s ON CONFLICT DO NOTHING""",
    "postgresql": """
        INSERT INTO shop_searchtail (establishment_id, kind, key, word, tail, "inner")
        SELECT establishment_id, kind, key, word, convert_to(substr(word, %s), 'UTF8'), %s FROM shop_searchtail
        WHERE establishment_id = %s AND "inner" = %s AND length(word) > %s ON CONFLICT DO NOTHING""",
}


@transaction.atomic
def synthetic_jobs(shop: Establishment, owner: Person, size: int) -> None:
    """So many checked-in jobs at half as many cars, whose owners share names as people do."""
    dice = random.Random(1)  # noqa: S311 - the same jobs on every run
    at = datetime(2026, 7, 2, tzinfo=ZONE)
    signed = {"at": at, "by": owner}
    cars = [_car(shop, dice, number) for number in range(max(size // VISITS, 1))]
    Vehicle.objects.bulk_create(cars, batch_size=AT_ONCE)
    jobs = [
        Job(
            establishment=shop,
            number=f"J{20 + number * 7 // size}-{number:06d}",
            vehicle=cars[number % len(cars)],
            on=date(2020, 1, 1) + timedelta(days=number * 2200 // size),
            **signed,
        )
        for number in range(size)
    ]
    Job.objects.bulk_create(jobs, batch_size=AT_ONCE)
    stages = [Stage(job=job, kind="check-in", outcome="done", **signed) for job in jobs]
    Stage.objects.bulk_create(stages, batch_size=AT_ONCE)
    seen = [_check_in(stage, dice) for stage in stages]
    CheckIn.objects.bulk_create(seen, batch_size=AT_ONCE)
    _index(shop, cars, seen)


def _car(shop: Establishment, dice: random.Random, number: int) -> Vehicle:
    plate = "".join(dice.choices(VIN_SIGNS[:23], k=3)) + f"-{number % 10_000:04d}"
    return Vehicle(
        establishment=shop, vin="".join(dice.choices(VIN_SIGNS, k=17)), plate=plate, description="car"
    )


def _check_in(stage: Stage, dice: random.Random) -> CheckIn:
    last = "".join(dice.choices(SYLLABLES, k=dice.choice((2, 3)))).capitalize()
    return CheckIn(
        stage=stage,
        customer=f"{dice.choice(FIRST)} {last}",
        phone=f"(555) 01{dice.randrange(10)}-{dice.randrange(10_000):04d}",
        plate=stage.job.vehicle.plate,
        complaint="blows warm",
        repair_order=str(100_000 + stage.job.pk),
        refrigerant_id="R-134a",
    )


def _index(shop: Establishment, cars: list[Vehicle], seen: list[CheckIn]) -> None:
    """Whole words by the model, their endings by the database: the same rows as the services', in less time."""
    words = [("car", str(car.pk), word) for car in cars for word in (car.vin, car.plate)]
    for one in seen:
        job = one.stage.job.number
        words += [("job", job, word) for word in (job, one.customer, one.phone, one.repair_order)]
    rows = [
        SearchTail(
            establishment=shop, kind=kind, key=key, word=folded(word), tail=folded(word).encode(), inner=False
        )
        for kind, key, word in words
    ]
    SearchTail.objects.bulk_create(rows, batch_size=AT_ONCE, ignore_conflicts=True)
    with connection.cursor() as cursor:
        for first in range(2, 41):
            cursor.execute(ENDINGS[connection.vendor], [first, True, shop.pk, False, first])
        cursor.execute("ANALYZE shop_searchtail")
