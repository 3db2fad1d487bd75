"""A program's key: made by whom it signs for, good for a while, for some parts, and taken back any time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client
from pytest_django import Settings

from shop.api import keys
from shop.api.problems import MEDIA
from shop.core.findings import Refused
from shop.core.quick import digest
from shop.core.roles import Role
from shop.core.scopes import Scope
from shop.http import now
from shop.models import ProgramKey, ProgramKeyUse
from shop.services import LeavingIn, ProgramKeyIn, end_program_key, leave_shop, make_program_key
from tests.api.program import Program
from tests.conftest import SignOn
from tests.factories import Shop, make_establishment, make_owner
from tests.pages import text


def asked(**more: object) -> dict[str, object]:
    return {"name": "label tablet", "scopes": ["book:read"], "role": "technician", "days": "30"} | more


def test_devs_tablet_reads_the_book_with_the_key_that_its_page_showed_once(
    shop: Shop, dev: Client, client: Client
) -> None:
    page = dev.post("/programs/new/", asked()).content.decode()
    key = page.split('class="code key">')[1].split("<")[0]
    row = ProgramKey.objects.get()
    assert (row.person, row.role, row.opens) == (shop.dev, "technician", ["book:read"])
    assert (row.key_sha256, key in dev.get("/programs/").content.decode()) == (digest(key), False)
    assert client.get("/api/book/", headers={"Authorization": f"Bearer {key}"}).status_code == 200
    assert "used last" in dev.get("/programs/").content.decode()


def test_a_key_that_asks_too_often_is_told_when_to_go_on_and_another_goes_on(
    shop: Shop, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.REQUESTS_A_MINUTE, busy, calm = 3, Program(shop.dev), Program(shop.dev)
    at = datetime(2024, 4, 2, 12, 0, 47, tzinfo=UTC)
    monkeypatch.setattr(keys, "now", lambda: at)
    assert [busy.get("/api/book/").status_code for _ in range(3)] == [200] * 3
    refused = busy.get("/api/book/")
    said = refused.json()
    assert (refused.status_code, refused["Content-Type"], refused["Retry-After"]) == (429, MEDIA, "13")
    assert (said["code"], said["detail"]) == (
        "too_many",
        "Too many requests in this minute. Ask again in 13 s.",
    )
    assert busy.post("/api/spots/", {"name": "top shelf", "kind": "shelf"}).status_code == 429
    assert calm.get("/api/book/").status_code == 200
    at += timedelta(seconds=13)
    assert busy.get("/api/book/").status_code == 200


def test_an_address_that_tries_keys_is_slowed_down_and_a_right_key_passes_beside_it(
    shop: Shop, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.WRONG_KEYS_A_MINUTE, program = 2, Program(shop.dev)
    monkeypatch.setattr(keys, "now", lambda: datetime(2024, 4, 2, 12, 0, 59, tzinfo=UTC))
    wrong = {"headers": {"Authorization": "Bearer guess"}, "REMOTE_ADDR": "192.0.2.7"}
    came = [program.client.get("/api/book/", **wrong) for _ in range(3)]  # type: ignore[arg-type]
    assert [one.status_code for one in came] == [401, 401, 429]
    assert (came[2]["Retry-After"], came[2].json()["code"]) == ("1", "too_many")
    right = {"headers": {"Authorization": f"Bearer {program.key}"}, "REMOTE_ADDR": "192.0.2.7"}
    assert program.client.get("/api/book/", **right).status_code == 200  # type: ignore[arg-type]


def test_the_same_form_sent_twice_makes_one_key(shop: Shop, dev: Client) -> None:
    for _ in range(2):
        dev.post("/programs/new/", asked(once="a-form-of-devs"))
    assert ProgramKey.objects.count() == 1


def test_who_signed_on_with_a_pin_makes_no_key(shop: Shop, dev: Client) -> None:
    session = dev.session
    session["_auth_user_backend"] = "shop.backends.PinBackend"
    session.save()
    assert dev.post("/programs/new/", asked()).status_code == 302
    assert not ProgramKey.objects.exists()


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "This field is required."),
        ({"scopes": []}, "without a tick it may do nothing"),
        ({"scopes": ["everything"]}, "Select a valid choice"),
        ({"role": "owner"}, "Select a valid choice"),
        ({"days": "0"}, "greater than or equal to 1"),
        ({"days": "367"}, "less than or equal to 366"),
    ],
)
def test_a_form_that_asks_too_much_makes_no_key(
    shop: Shop, dev: Client, wrong: dict[str, object], sentence: str
) -> None:
    assert sentence in dev.post("/programs/new/", asked(**wrong)).content.decode()
    assert not ProgramKey.objects.exists()


def test_the_service_names_all_that_is_wrong_with_a_key(shop: Shop) -> None:
    with pytest.raises(Refused) as refused:
        make_program_key(ProgramKeyIn(" ", Role.OWNER, [], 400), at=now(), by=shop.dev)
    assert [one.code for one in refused.value.findings] == [
        *("program-name", "program-role", "program-scopes", "program-days")
    ]


def test_no_key_a_wrong_key_and_an_ended_key_are_answered_alike(shop: Shop, client: Client) -> None:
    program = Program(shop.dev)
    late = Program(shop.dev, days=1, at=now() - timedelta(days=1, seconds=1))
    end_program_key(program.row, at=now(), by=shop.marta)
    answers = [
        client.get("/api/book/", headers=headers)
        for headers in (
            {},
            {"Authorization": "Bearer nonsense"},
            {"Authorization": "Bearer é"},
            {"Authorization": f"Bearer {program.key}"},
            {"Authorization": f"Bearer {late.key}"},
        )
    ]
    assert {one.status_code for one in answers} == {401}
    assert {one["WWW-Authenticate"] for one in answers} == {'Bearer realm="Tarebook"'}
    assert len({one.content for one in answers[1:]}) == 1


def test_a_key_opens_its_scopes_and_nothing_more(shop: Shop) -> None:
    program = Program(shop.dev, scopes=[Scope.PEOPLE_READ])
    assert program.get("/api/people/").status_code == 200
    refused = program.get("/api/book/")
    assert (refused.status_code, refused.json()["code"]) == (403, "permission_denied")


def test_a_leavers_keys_open_nothing(shop: Shop) -> None:
    program = Program(shop.dev)
    assert program.get("/api/book/").status_code == 200
    today = now().date()
    leave_shop(shop.dev, LeavingIn(today, at_once=True), today=today, at=now(), by=shop.marta)
    assert program.get("/api/book/").status_code == 401


def test_a_person_whose_role_was_narrowed_keeps_no_wider_program(shop: Shop) -> None:
    program = Program(shop.marta)
    shop.marta.role = Role.TECHNICIAN
    shop.marta.save(update_fields=["role"])
    assert program.get("/api/book/").status_code == 401


def test_the_owner_gives_a_program_less_than_she_is(shop: Shop) -> None:
    program = Program(shop.marta, role=Role.FRONT_OFFICE)
    assert program.get("/api/people/").status_code == 200
    shop.marta.refresh_from_db()
    assert shop.marta.role == Role.OWNER


def test_dev_takes_back_his_own_key_and_the_owner_anybodys(
    shop: Shop, dev: Client, marta: Client, lee: Client, sign_on: SignOn
) -> None:
    his, hers = Program(shop.dev).row, Program(shop.marta).row
    stranger = sign_on(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))
    for nobody in (lee, stranger):
        assert nobody.post(f"/programs/{his.pk}/end/").status_code == 404
    assert dev.post(f"/programs/{hers.pk}/end/").status_code == 404
    assert dev.post(f"/programs/{his.pk}/end/").status_code == 302
    assert marta.post(f"/programs/{hers.pk}/end/").status_code == 302
    assert "taken back already" in marta.post(f"/programs/{his.pk}/end/").content.decode()
    assert "Taken back" in marta.get("/programs/").content.decode()


def test_the_list_says_in_words_what_a_program_may_do(shop: Shop, dev: Client) -> None:
    dev.post("/programs/new/", asked(scopes=["jobs:write", "cabinet:read"]))
    page = text(dev.get("/programs/"))
    assert (
        "Dev Larkin, Technician Read deliveries, containers, counts, shipments Check in, sign stages" in page
    )
    assert "jobs:write" not in page


def test_use_is_written_down_once_a_minute(shop: Shop) -> None:
    program = Program(shop.dev)
    for _ in range(3):
        program.get("/api/book/")
    first = ProgramKeyUse.objects.get()
    first.last_at -= timedelta(minutes=2)
    first.save()
    program.get("/api/book/")
    assert ProgramKeyUse.objects.get().last_at > first.last_at
