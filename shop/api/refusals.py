"""What a service refuses, told by the fields of the request instead of those of a page's form."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace

from shop.core.findings import Refused

ROW = re.compile(r"(?P<name>[a-z_]+)_(?P<number>\d{1,4})", re.ASCII)


@contextmanager
def fields_as(name: Callable[[str], str]) -> Iterator[None]:
    """Let the findings of a refusal in this block speak of ``name(field)``."""
    try:
        yield
    except Refused as refused:
        findings = [replace(one, field=name(one.field)) for one in refused.findings]
        raise Refused(findings) from refused


def in_lines(field: str) -> str:
    """ "sound_0" of a form with numbered rows is lines.0.sound of a request."""
    row = ROW.fullmatch(field)
    return f"lines.{row['number']}.{row['name']}" if row else field


def renamed(names: Mapping[str, str]) -> Callable[[str], str]:
    """Fields by these names; others keep their own."""
    return lambda field: names.get(field, field)
