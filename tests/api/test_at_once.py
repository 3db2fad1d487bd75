"""Eight requests at the same moment, each under a key of its own: one is written, seven read why not, none breaks."""

from __future__ import annotations

import json
import secrets
from collections import Counter
from collections.abc import Callable
from functools import partial
from threading import Barrier, Thread
from typing import Any

from django.core.management import call_command
from django.db import connections
from django.test import Client

from compliance.models import Job
from inventory.models import Can, Count, Delivery
from shop.core.roles import Role
from shop.models import Person
from tests.api.bay_program import CAR
from tests.api.program import Program
from tests.conftest import new_client
from tests.factories import Shop, cans_of, make_shop, receive

EIGHT = 8
POUNDS = {"value": "17.1", "unit": "lb"}
CYLINDER = {"code": "RC-31", "refrigerant": "R-134a", "tare": POUNDS, "gross": POUNDS} | {
    "water": {"value": "26.2", "unit": "lb"},
    "requalified_on": "2024-11-01",
}
CAN = {"refrigerant": "R-134a", "name": "30-oz can", "shell_basis": "weighed"} | {
    "net": {"value": "30", "unit": "oz"},
    "shell": {"value": "210", "unit": "g"},
}
LISTED: list[tuple[str, dict[str, Any], str]] = [
    ("/api/suppliers/", {"name": "Sample Wholesale"}, "supplier-known"),
    ("/api/spots/", {"name": "top shelf", "kind": "shelf"}, "spot-known"),
    ("/api/types/", CAN, "type-known"),
    ("/api/cylinders/", CYLINDER, "code-taken"),
    (
        "/api/facilities/",
        {"name": "Saltgrass", "address": "9 Depot Lane, Other Springs, CO"},
        "facility-known",
    ),
]
SLIP = {"supplier": "Sample Parts Supply", "another": True}
LINES = {"lines": [{"type": "R-134a 12-oz can", "cans": 3}]}


def together(sends: list[Callable[[], str]]) -> Counter[str]:
    """What came of sending all at the same moment."""
    came, gate = Counter[str](), Barrier(len(sends))

    def send(one: Callable[[], str]) -> None:
        gate.wait()
        try:
            came[one()] += 1
        finally:
            connections.close_all()

    threads = [Thread(target=send, args=(one,)) for one in sends]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    return came


def at_once(program: Program, address: str, bodies: list[dict[str, Any]]) -> Counter[str]:
    """What came of sending all bodies at the same moment: "written", or the code of the first finding."""

    def send(body: dict[str, Any]) -> str:
        client = new_client()
        client.raise_request_exception = False
        headers = {"Authorization": f"Bearer {program.key}", "Idempotency-Key": secrets.token_urlsafe(12)}
        answer = client.post(address, json.dumps(body), content_type="application/json", headers=headers)
        if answer.status_code >= 500:
            return "broke"
        return "written" if answer.status_code == 201 else str(answer.json()["findings"][0]["code"])

    return together([partial(send, body) for body in bodies])


def opened() -> tuple[Shop, Program]:
    shop = make_shop()
    cans_of(receive(shop))
    return shop, Program(shop.marta)


def test_the_same_thing_put_on_a_list_eight_times_at_once_stands_there_once(live_db: None) -> None:
    _, program = opened()
    for address, body, code in LISTED:
        assert at_once(program, address, [body] * EIGHT) == {"written": 1, code: 7}, address


def test_the_same_form_of_eight_browsers_at_once_is_kept_once_and_seven_pages_say_why(live_db: None) -> None:
    shop, _ = opened()
    browsers = [new_client() for _ in range(EIGHT)]
    for one in browsers:
        one.raise_request_exception = False
        one.force_login(shop.lee, backend="django.contrib.auth.backends.ModelBackend")

    def send(client: Client) -> str:
        typed = {"name": "Sample Wholesale", "once": secrets.token_urlsafe(12)}
        answer = client.post("/suppliers/new/", typed)
        said = b"is already on the list" in answer.content
        return f"{answer.status_code}{', refused' if said else ''}"

    assert together([partial(send, one) for one in browsers]) == {"302": 1, "200, refused": 7}


def test_one_car_checked_in_eight_times_at_once_is_in_the_bay_once(live_db: None) -> None:
    _, program = opened()
    assert at_once(program, "/api/jobs/", [CAR] * EIGHT) == {"written": 1, "job-open": 7}
    assert Job.objects.count() == 1


def test_one_count_signed_eight_times_at_once_is_signed_once(live_db: None) -> None:
    _, program = opened()
    codes = [str(code) for code in Can.objects.values_list("pk", flat=True)]
    for body in ({"not_found": codes[:1]}, {"sealed": codes[1:]}):
        came = at_once(program, "/api/counts/", [body | {"rest": "leave out"}] * EIGHT)
        assert came == {"written": 1, "counted-lately": 7}, body
    assert Count.objects.count() == 2


def test_eight_slips_at_once_are_numbered_without_a_gap_and_the_book_is_whole(live_db: None) -> None:
    shop, program = opened()
    slips = [SLIP | LINES | {"slip": f"90{number}"} for number in range(EIGHT)]
    assert at_once(program, "/api/deliveries/", slips) == {"written": 8}
    assert at_once(program, "/api/deliveries/", [slips[0]] * EIGHT) == {"slip-already-in": 8}
    new = Delivery.objects.filter(slip__startswith="90")
    numbers = sorted(int(one.number.split("-")[1]) for one in new)
    cans = sorted(int(str(one.pk).split("-")[1]) for one in Can.objects.all())
    assert (numbers, cans) == (list(range(1, 9)), list(range(1, 37)))
    assert Person.objects.get(pk=shop.marta.pk).role == Role.OWNER
    call_command("verify")
