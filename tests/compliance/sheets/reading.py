"""Reading sheets back, the way a bookkeeper's program would."""

from __future__ import annotations

import csv
import io
from typing import Any

from django.test import Client


def body(response: Any) -> bytes:
    """The whole answer, streamed or not."""
    return b"".join(response.streaming_content) if response.streaming else response.content


def rows_of(data: bytes) -> list[dict[str, str]]:
    """The rows of a CSV, each by the names of its columns."""
    text = data.decode("utf-8-sig")
    assert data.startswith(b"\xef\xbb\xbf")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def sheet(client: Client, address: str, **asked: str) -> list[dict[str, str]]:
    answer = client.get(address, asked)
    assert answer.status_code == 200, address
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    return rows_of(body(answer))
