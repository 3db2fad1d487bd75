"""A request that is too much is refused at once, by one sentence."""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlencode

import pytest
from django.test import RequestFactory
from rest_framework.serializers import (
    DateField,
    DateTimeField,
    DecimalField,
    FloatField,
    IntegerField,
    ListField,
    ListSerializer,
    Serializer,
)

from inventory.models import Container
from shop.api.fields import DayIn, FewOf, MomentIn, WholeIn
from shop.api.problems import MEDIA, broken
from tests.api.program import Program
from tests.contracts.test_api import doors
from tests.factories import Shop

TICKETS = "/api/containers/K-0001/tickets/"
MANY = 20_000
ANY_SCRIPT = (
    IntegerField,
    FloatField,
    DecimalField,
    DateField,
    DateTimeField,
)  # as they come, they read any digits
IN_ASCII = (WholeIn, DayIn, MomentIn)


@pytest.fixture
def program(shop: Shop, cans: list[Container]) -> Program:
    return Program(shop.marta)


def fields_in(said: Any, path: str) -> Iterator[tuple[str, Any]]:
    """Every field that a request may hold, by its path."""
    yield path, said
    if isinstance(said, Serializer):
        for name, field in said.fields.items():
            yield from fields_in(field, f"{path}.{name}")
    elif isinstance(said, ListField | ListSerializer):
        yield from fields_in(said.child, path)


def asked() -> list[tuple[str, Any]]:
    return [one for name, (_, door) in doors().items() if door.takes for one in fields_in(door.takes(), name)]


def test_every_list_of_a_request_knows_its_most_before_it_looks_at_its_items() -> None:
    found = [one for one in asked() if isinstance(one[1], ListField | ListSerializer)]
    assert len(found) > 10
    endless = [path for path, one in found if not one.max_length]
    looks_first = [path for path, one in found if isinstance(one, ListField) and not isinstance(one, FewOf)]
    assert (endless, looks_first) == ([], [])


def test_every_number_and_day_of_a_request_is_read_in_the_digits_0_to_9() -> None:
    plain = [one for _, one in asked() if isinstance(one, IN_ASCII)]
    any_script = [
        path for path, one in asked() if isinstance(one, ANY_SCRIPT) and not isinstance(one, IN_ASCII)
    ]
    assert (len(plain) > 10, any_script) == (True, [])


@pytest.mark.parametrize(
    ("address", "body", "field"),
    [
        (TICKETS, {"scale": "SC-1", "reading": {"value": "466", "unit": "g"}, "seen": [{}] * MANY}, "seen"),
        ("/api/moves/", {"containers": ["K-0001"] * MANY, "to": "van 2"}, "containers"),
        ("/api/counts/", {"sealed": [{}] * MANY, "rest": "leave out"}, "sealed"),
        ("/api/counts/", {"weighed": [{}] * MANY, "rest": "leave out"}, "weighed"),
    ],
)
def test_an_endless_list_is_one_finding(
    program: Program, address: str, body: dict[str, Any], field: str
) -> None:
    answer = program.post(address, body)
    assert answer.status_code == 400
    assert (field, "max_length") in [(one["field"], one["code"]) for one in answer.json()["findings"]]
    assert len(answer.content) < 1_000


@pytest.mark.parametrize("size", [3 * 1024 * 1024, 17 * 1024 * 1024])
def test_a_body_of_any_size_that_is_too_large_is_a_problem_and_no_page(program: Program, size: int) -> None:
    sent = {"Authorization": f"Bearer {program.key}", "Idempotency-Key": "ticket-of-11-52"}
    answer = program.client.post(TICKETS, b" " * size, content_type="application/json", headers=sent)
    assert (answer.status_code, answer["Content-Type"]) == (413, MEDIA)
    assert json.loads(answer.content)["code"] == "too_large"


@pytest.mark.parametrize("place", ["abc", "1.5", "a\0b", "", "9" * 5000])
@pytest.mark.parametrize("address", ["/api/people/", "/api/containers/"])
def test_a_cursor_of_ones_own_making_breaks_nothing(program: Program, address: str, place: str) -> None:
    cursor = b64encode(urlencode({"p": place}).encode()).decode()
    answer = program.get(f"{address}?{urlencode({'cursor': cursor})}")
    if answer.status_code != 200:  # a can may well be called abc
        assert (answer.status_code, answer.json()["findings"][0]["field"]) == (400, "cursor")


def test_what_nobody_foresaw_is_a_problem_that_tells_nothing_of_it(rf: RequestFactory) -> None:
    said = broken(rf.get("/api/jobs/"))
    assert (said.status_code, said["Content-Type"]) == (500, MEDIA)
    assert json.loads(said.content)["code"] == "broke"
    page = broken(rf.get("/jobs/"))
    assert (page.status_code, page["Content-Type"]) == (500, "text/html; charset=utf-8")
