"""The API keeps its word: its schema is whole, its examples work, and each operation opens to whom its table says."""

from __future__ import annotations

import io
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from django.core.management import call_command
from django.urls import URLPattern

from shop.api.base import Door
from shop.api.schema import _made, schema
from shop.core.roles import Role
from shop.core.scopes import Scope
from shop.models import ProgramAnswer
from tests.api.program import EVERYTHING, Program, operations
from tests.contracts.api_table import GIVEN, OPERATIONS
from tests.contracts.test_roles import address_of, addresses, one_of_each, things
from tests.factories import Shop

__all__ = ["one_of_each", "things"]


def doors() -> dict[str, tuple[URLPattern, type[Door]]]:
    """Every address of the API that asks who is there, by its name."""
    return {
        name: (pattern, pattern.callback.view_class)  # type: ignore[attr-defined]
        for name, pattern in addresses()
        if name.startswith("api-") and name != "api-schema"
    }


def test_the_schema_is_valid_and_made_without_a_warning() -> None:
    call_command("spectacular", "--validate", "--fail-on-warn", stdout=io.StringIO())


def test_four_who_ask_for_the_schema_at_once_get_it() -> None:
    _made.cache_clear()
    with ThreadPoolExecutor(4) as together:
        assert {len(one["paths"]) for one in together.map(lambda _: schema(), range(4))} == {
            len(schema()["paths"])
        }


def test_every_operation_stands_in_the_table_with_its_roles_and_scope() -> None:
    said = {
        (name, method): (set(roles), scope)
        for name, (_, door) in doors().items()
        for method, (roles, scope) in door.opens.items()
    }
    assert said == OPERATIONS
    assert len(operations()) == len(said)


def test_every_write_has_an_example_and_words() -> None:
    for _, method, path, said in operations():
        assert len(said["description"].split("\n\n")[0]) > 10, path
        if method == "POST":
            body = said["requestBody"]["content"]["application/json"]
            assert body["examples"]["Example"]["value"] is not None, path


@pytest.mark.parametrize("name", sorted({name for name, method in OPERATIONS if method == "POST"}))
def test_the_example_of_a_write_is_written(shop: Shop, things: dict[str, str], name: str) -> None:
    pattern, door = doors()[name]
    named = address_of(
        name, pattern, things | {key: str(of) for key, of in GIVEN[name](shop, things).items()}
    )
    answer = Program(shop.marta).post(named, door.example)
    assert answer.status_code == 201, answer.json()


@pytest.mark.one_engine
@pytest.mark.parametrize("role", list(Role))
def test_each_operation_lets_its_roles_in_and_no_others(
    shop: Shop, things: dict[str, str], role: Role
) -> None:
    person = {Role.OWNER: shop.marta, Role.FRONT_OFFICE: shop.lee, Role.TECHNICIAN: shop.dev}[role]
    wrong, program = [], Program(person)
    keys = {scope: Program(person, scopes=[one for one in EVERYTHING if one is not scope]) for scope in Scope}
    for name, (pattern, _) in doors().items():
        address = address_of(name, pattern, things)
        for method in ("GET", "POST"):
            if (name, method) not in OPERATIONS:
                continue
            roles, scope = OPERATIONS[name, method]
            status, without = _asked(program, method, address), _asked(keys[scope], method, address)
            if status >= 500 or status == 401 or (status == 403) is (role in roles) or without != 403:
                wrong.append(f"{role.value} {method} {address}: {status}, without {scope}: {without}")
    assert wrong == []
    assert not ProgramAnswer.objects.exists()


def _asked(program: Program, method: str, address: str) -> int:
    """The status of a GET, or of a POST whose body says nothing."""
    answer: Any = program.get(address) if method == "GET" else program.post(address, {"nothing": 0})
    status: int = answer.status_code
    return status
