"""A write under its one-time key happens once; a refused one can be put right and sent again."""

from __future__ import annotations

import json
from threading import Thread
from typing import Any

import pytest
from django.db import connections

from inventory.models import Container, WeighTicket
from shop.models import Person, ProgramAnswer
from tests.api.program import Program
from tests.factories import Shop, cans_of, make_shop, receive

WEIGHED = {"scale": "SC-1", "reading": {"value": "466", "unit": "g"}}
AT = "/api/containers/K-0001/tickets/"


@pytest.fixture
def program(shop: Shop, cans: list[Container]) -> Program:
    return Program(shop.dev)


def test_a_can_is_weighed_and_its_ticket_read_again(program: Program) -> None:
    first = program.post(AT, WEIGHED).json()
    assert first["reading"] == {"value": "466", "unit": "g", "micrograms": 466_000_000}
    assert (first["by"], first["origin"]) == ("Dev Larkin", "weighed")
    assert program.get(AT).json()["results"] == [first]
    assert program.get("/api/containers/K-0001/").json()["last_weighed"] == first["reading"]


def test_the_same_request_again_gets_the_first_answer_and_writes_nothing(program: Program) -> None:
    answers = [program.post(AT, WEIGHED, once="ticket-of-11-52") for _ in range(3)]
    assert {one.status_code for one in answers} == {201}
    assert len({json.dumps(one.json(), sort_keys=True) for one in answers}) == 1
    assert ["First-Answered" in one for one in answers] == [False, True, True]
    assert WeighTicket.objects.count() == 1


def test_another_request_under_a_used_key_is_refused(program: Program) -> None:
    program.post(AT, WEIGHED, once="ticket-of-11-52")
    other = program.post(AT, WEIGHED | {"style": "can with tap"}, once="ticket-of-11-52")
    assert (other.status_code, other.json()["code"]) == (409, "key_used")
    elsewhere = program.post("/api/containers/K-0002/tickets/", WEIGHED, once="ticket-of-11-52")
    assert elsewhere.status_code == 409
    assert WeighTicket.objects.count() == 1


def test_two_people_may_use_the_same_words_as_a_key(program: Program, shop: Shop) -> None:
    program.post(AT, WEIGHED, once="ticket-of-11-52")
    other = Program(shop.rosa).post("/api/containers/K-0002/tickets/", WEIGHED, once="ticket-of-11-52")
    assert other.status_code == 201


@pytest.mark.parametrize("key", ["", "short", "with a space", "k" * 65, "ünsichtbar"])
def test_a_write_without_a_key_that_can_be_kept_writes_nothing(program: Program, key: str) -> None:
    sent = {"Authorization": f"Bearer {program.key}", "Idempotency-Key": key}
    answer = program.client.post(AT, json.dumps(WEIGHED), content_type="application/json", headers=sent)
    assert (answer.status_code, answer.json()["code"]) == (400, "key_missing")
    assert not WeighTicket.objects.exists()


def test_a_slip_is_told_as_the_page_tells_it_and_sent_again_under_the_same_key(program: Program) -> None:
    slip = program.post(
        AT, {"scale": "SC-1", "reading": {"value": "46", "unit": "g"}}, once="ticket-of-11-52"
    )
    found = slip.json()["findings"]
    assert (slip.status_code, slip.json()["code"]) == (422, "refused")
    assert {one["field"] for one in found} == {"reading"}
    assert slip.json()["detail"] == found[0]["sentence"]
    assert not ProgramAnswer.objects.exists()
    assert program.post(AT, WEIGHED, once="ticket-of-11-52").status_code == 201


def test_a_warning_passes_when_its_code_was_seen(program: Program) -> None:
    light = {"scale": "SC-1", "reading": {"value": "420", "unit": "g"}}
    asked = program.post(AT, light)
    codes = [one["code"] for one in asked.json()["findings"] if one["weight"] == "warns"]
    assert (asked.status_code, bool(codes)) == (422, True)
    assert program.post(AT, light | {"seen": codes}).status_code == 201


@pytest.mark.parametrize(
    ("body", "field", "code"),
    [
        ({}, "scale", "required"),
        (WEIGHED | {"scale": "SC-9"}, "scale", "unknown"),
        (WEIGHED | {"scale": 7}, "scale", "unknown"),
        (WEIGHED | {"scale": ["SC-1"]}, "scale", "invalid"),
        (WEIGHED | {"scale": "SC\x001"}, "scale", "null_characters_not_allowed"),
        (WEIGHED | {"reading": "466"}, "reading", "invalid"),
        (WEIGHED | {"reading": {"value": "466"}}, "reading.unit", "required"),
        (WEIGHED | {"reading": {"value": "466", "unit": "stone"}}, "reading.unit", "invalid_choice"),
        (WEIGHED | {"reading": {"value": "-5", "unit": "g"}}, "reading.value", "mass-negative"),
        (WEIGHED | {"reading": {"value": "16.4", "unit": "oz"}}, "reading", "mass-unit"),
        (WEIGHED | {"reading": {"value": "466.5", "unit": "g"}}, "reading", "mass-decimals"),
        (WEIGHED | {"style": "in a bag"}, "style", "invalid_choice"),
        (WEIGHED | {"seen": "all"}, "seen", "not_a_list"),
        ([], "", "invalid"),
        ("466", "", "invalid"),
    ],
)
def test_what_cannot_be_meant_is_named_by_its_field(
    program: Program, body: Any, field: str, code: str
) -> None:
    answer = program.post(AT, body)
    found = [(one["field"], one["code"]) for one in answer.json()["findings"]]
    assert (answer.status_code, found[0]) == (400, (field, code))
    assert not WeighTicket.objects.exists()


@pytest.mark.parametrize(
    ("raw", "media", "status"),
    [
        ("{", "application/json", 400),
        ("[" * 100_000, "application/json", 400),
        ('{"scale": "\\ud800"}', "application/json", 400),
        ('{"scale": NaN}', "application/json", 400),
        ("9" * 5000, "application/json", 400),
        ("scale=SC-1", "application/x-www-form-urlencoded", 415),
        (" " * (2 * 1024 * 1024 + 1), "application/json", 413),
    ],
)
def test_a_body_that_is_no_json_of_ours_is_refused(
    program: Program, raw: str, media: str, status: int
) -> None:
    sent = {"Authorization": f"Bearer {program.key}", "Idempotency-Key": "ticket-of-11-52"}
    answer = program.client.post(AT, raw, content_type=media, headers=sent)
    assert (answer.status_code, answer["Content-Type"]) == (status, "application/problem+json")
    assert not WeighTicket.objects.exists()


def test_eight_at_once_under_one_key_write_one_ticket(live_db: None) -> None:
    shop = make_shop()
    cans_of(receive(shop))
    program, statuses = Program(shop.dev), list[int]()

    def send() -> None:
        try:
            statuses.append(program.post(AT, WEIGHED, once="ticket-of-11-52").status_code)
        finally:
            connections.close_all()

    threads = [Thread(target=send) for _ in range(8)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert statuses == [201] * 8
    assert (WeighTicket.objects.count(), Person.objects.filter(pk=shop.dev.pk).count()) == (1, 1)
