"""Whatever is sent to the API, it answers with something that its schema foresees, and never breaks."""

from __future__ import annotations

import json
import secrets
from typing import Any
from urllib.parse import urlencode

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.api.schema import schema
from tests.api.program import Program, hold_against_the_schema, operations
from tests.contracts.test_api import doors
from tests.contracts.test_roles import address_of, one_of_each, things
from tests.factories import Shop

pytestmark = pytest.mark.one_engine

__all__ = ["one_of_each", "things"]
EACH = settings(
    max_examples=12,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
)
FOUND = schemathesis.openapi.from_dict(schema())


@pytest.mark.parametrize(("method", "path"), [(method, path) for _, method, path, _ in operations()])
def test_no_request_breaks_it(shop: Shop, things: dict[str, str], method: str, path: str) -> None:
    program, real = Program(shop.marta), _real_address(path, things)

    @EACH
    @given(case=FOUND[path][method].as_strategy(), ours=st.booleans())
    def ask(case: Any, ours: bool) -> None:
        query = urlencode({name: str(value) for name, value in (case.query or {}).items()})
        address = (real if ours else case.formatted_path) + (f"?{query}" if query else "")
        answer = _sent(program, method, address, case.body)
        assert answer.status_code < 500, (method, address, case.body)
        hold_against_the_schema(answer, method, path)

    ask()


def _sent(program: Program, method: str, address: str, body: Any) -> Any:
    headers = {"Authorization": f"Bearer {program.key}", "Idempotency-Key": secrets.token_urlsafe(12)}
    if method == "GET":
        return program.client.get(address, headers=headers)
    raw = b"" if isinstance(body, schemathesis.core.NotSet) else json.dumps(body).encode()
    return program.client.post(address, raw, content_type="application/json", headers=headers)


def _real_address(path: str, things: dict[str, str]) -> str:
    """The address of a thing that is there, for the same operation."""
    for name, (pattern, _) in doors().items():
        real = address_of(name, pattern, things)
        if len(real.split("/")) == len(path.split("/")) and all(
            said.startswith("{") or said == is_
            for said, is_ in zip(path.split("/"), real.split("/"), strict=True)
        ):
            return real
    raise LookupError(path)
