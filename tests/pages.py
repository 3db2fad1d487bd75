"""What tests of pages do over and over: send a form with its one-time key, read what came back."""

from __future__ import annotations

import html
import re
from itertools import count
from typing import Any

from django.test import Client

_keys = count(1)


def send(client: Client, url: str, /, *, once: str | None = None, **data: Any) -> Any:
    """Post a form as a page would, under a fresh one-time key unless one is given."""
    return client.post(url, {"once": once or f"test-key-{next(_keys)}", **data})


def text(response: Any) -> str:
    """The words on the page, without tags, white space made single."""
    body = re.sub(r"<(script|style).*?</\1>", " ", response.content.decode(), flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def errors(response: Any, field: str | None = None) -> list[str]:
    """What the page's form says is wrong with one field, or with the whole (None)."""
    form = response.context["form"]
    return [str(one) for one in form.errors.get(field or "__all__", [])]


def said(response: Any) -> list[str]:
    """The messages on the page that a redirect led to."""
    return [str(message) for message in response.context["messages"]]
