"""What ``bench`` measures of Find: the whole page, through every layer, against a plain scan of the same words."""

from __future__ import annotations

from django.db import connection
from django.test import Client

from compliance.management.alternating import Measure, alternating
from compliance.management.practice_work import ZONE
from compliance.management.synthetic_jobs import synthetic_jobs
from compliance.models import CheckIn
from shop.core.finding import folded
from shop.models import Establishment, Person, Vehicle

AT_MOST_MS = 100  # of server time, whatever is typed


def find_measures(jobs: int, rounds: int) -> list[Measure]:
    """Find in a shop with so many jobs: each way of asking, and the most that any took."""
    shop = Establishment.objects.create(
        name="bench find", legal_name="-", address="-", phone="-", time_zone=str(ZONE)
    )
    owner = Person(establishment=shop, name="Bench", username="bench", role="owner")
    owner.set_unusable_password()
    owner.save()
    synthetic_jobs(shop, owner, jobs)
    client = Client(SERVER_NAME="localhost")
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    measures = [_measure(shop, client, what, typed, rounds) for what, typed in _asked(shop).items()]
    worst = max(one.ours_ms for one in measures)
    over = Measure(f"{jobs:,} jobs: the slowest of these, against {AT_MOST_MS} ms", worst, AT_MOST_MS, 1.0)
    return [*measures, over]


def _asked(shop: Establishment) -> dict[str, str]:
    car = Vehicle.objects.filter(establishment=shop).order_by("pk")[17]
    seen = CheckIn.objects.filter(stage__job__establishment=shop).order_by("pk")[23]
    last = seen.customer.split()[1]
    return {
        "the last six of a VIN": car.vin[-6:],
        "a piece inside a VIN": car.vin[5:9],
        "a plate": car.plate,
        "a name": seen.customer,
        "half a name": last[:4],
        "a name with a letter wrong": seen.customer[:-2] + "x" + seen.customer[-1],
        "two words the wrong way round": f"{last} {seen.customer.split()[0]}",
        "four digits of a phone": seen.phone[-4:],
        "two digits": "26",
        "what is not there": "ZZZZZZ",
    }


def _measure(shop: Establishment, client: Client, what: str, typed: str, rounds: int) -> Measure:
    sql = (
        'SELECT kind, key FROM shop_searchtail WHERE establishment_id = %s AND "inner" = %s AND word LIKE %s'
        " ORDER BY id DESC LIMIT 60"
    )

    def ours() -> None:
        answer = client.get("/find/", {"q": typed})
        if answer.status_code not in (200, 302):
            raise RuntimeError(f"Find answered {answer.status_code} to {typed!r}")

    def raw() -> None:
        with connection.cursor() as cursor:
            cursor.execute(sql, [shop.pk, False, f"%{folded(typed)}%"])
            cursor.fetchall()

    return Measure(f"find {what}, against a scan of all words", *alternating(ours, raw, rounds), None)
