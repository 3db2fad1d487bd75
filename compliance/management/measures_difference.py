"""What ``bench`` measures of Find the difference: the whole page, and the charts, against the bare sum of the count."""

from __future__ import annotations

from django.db import connection
from django.test import Client

from compliance.management.alternating import Measure, alternating
from inventory.models import Count
from shop.models import Person


def difference_measures(rounds: int) -> list[Measure]:
    """The practice quarter's last count, through every layer."""
    count = Count.objects.filter(opening=False).select_related("establishment").order_by("-pk")[0]
    owner = Person.objects.filter(establishment=count.establishment, role="owner")[0]
    client = Client(SERVER_NAME="localhost")
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    return [
        _measure(client, count, f"/counts/{count.pk}/difference/R-134a/", "Find the difference", rounds),
        _measure(client, count, "/records/charts/", "the control charts", rounds),
    ]


def _measure(client: Client, count: Count, address: str, what: str, rounds: int) -> Measure:
    sql = (
        "SELECT SUM(line.found) - SUM(line.expected) FROM inventory_countline line"
        " JOIN inventory_container can ON can.place_id = line.container_id"
        " WHERE line.count_id = %s AND can.refrigerant_id = %s"
    )

    def ours() -> None:
        answer = client.get(address)
        if answer.status_code != 200:
            raise RuntimeError(f"{address} answered {answer.status_code}")

    def raw() -> None:
        with connection.cursor() as cursor:
            cursor.execute(sql, [count.pk, "R-134a"])
            cursor.fetchall()

    return Measure(f"{what}, whole page, against the count's bare sum", *alternating(ours, raw, rounds), None)
