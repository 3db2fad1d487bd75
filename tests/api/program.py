"""A program as the shop knows it: it shows a key, sends JSON, and holds every answer against the schema."""

from __future__ import annotations

import json
import re
import secrets
from collections.abc import Iterable
from datetime import datetime
from functools import cache
from typing import Any

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from jsonschema import Draft202012Validator

from shop.api.schema import schema
from shop.core.roles import Role
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Person
from shop.services import ProgramKeyIn, make_program_key
from tests.conftest import new_client

EVERYTHING = tuple(Scope)


@cache
def operations() -> list[tuple[re.Pattern[str], str, str, dict[str, Any]]]:
    """Every operation of the schema: how its address looks, its method, its address as written, what it says."""
    return [
        (re.compile(re.sub(r"\{\w+\}", "[^/]+", path)), method.upper(), path, said)
        for path, item in schema()["paths"].items()
        for method, said in item.items()
    ]


@cache
def _validator(status: int, method: str, path: str, media: str) -> Draft202012Validator:
    said = next(said for _, one, at, said in operations() if (one, at) == (method, path))
    answers = said["responses"]
    assert str(status) in answers, f"{method} {path} says nothing of {status}"
    content = answers[str(status)].get("content", {})
    assert media in content, f"{method} {path} {status} says nothing of {media}"
    found: dict[str, Any] = content[media]["schema"] | {"components": schema()["components"]}
    return Draft202012Validator(found)


def hold_against_the_schema(response: Any, method: str, address: str) -> None:
    """Fail when the schema does not foresee this answer."""
    path = address.partition("?")[0]
    found = [at for pattern, one, at, _ in operations() if one == method and pattern.fullmatch(path)]
    if not found or response.status_code in (304, 405):
        return
    media = response["Content-Type"].partition(";")[0]
    if media.endswith("json"):
        validator = _validator(response.status_code, method, min(found, key=lambda at: at.count("{")), media)
        validator.validate(response.json())


class Program:
    """Somebody's program with a key of its own."""

    def __init__(
        self,
        person: Person,
        *,
        role: Role | None = None,
        scopes: Iterable[Scope] = EVERYTHING,
        days: int = 90,
        at: datetime | None = None,
    ) -> None:
        said = ProgramKeyIn("test bench", role or Role(person.role), tuple(scopes), days)
        self.row, self.key = make_program_key(said, at=at or now(), by=person)
        self.client: Client = new_client()

    def get(self, address: str, **headers: str) -> Any:
        response = self.client.get(address, headers=self._headers(headers))
        hold_against_the_schema(response, "GET", address)
        return response

    def post(self, address: str, body: Any, *, once: str = "", **headers: str) -> Any:
        """``once`` is the one-time key; a new one when none is given."""
        sent = self._headers({"Idempotency-Key": once or secrets.token_urlsafe(12), **headers})
        response = self.client.post(address, json.dumps(body), content_type="application/json", headers=sent)
        hold_against_the_schema(response, "POST", address)
        return response

    def _headers(self, more: dict[str, str]) -> dict[str, str]:
        return {"Authorization": f"Bearer {self.key}", **more}


def queries_of(program: Program, address: str) -> int:
    """How often this address asks the database, once the use of the key is written down."""
    program.get(address)
    with CaptureQueriesContext(connection) as asked:
        assert program.get(address).status_code == 200
    return len(asked)
