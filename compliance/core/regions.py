"""Which Region of the agency a State belongs to, from the list in ``regions.toml``."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path

LIST = Path(__file__).parent / "regions.toml"
LAST = re.compile(r"\b([A-Z]{2})\.?,?\s+\d{5}(?:-\d{4})?\s*$")


@cache
def regions() -> dict[int, tuple[str, ...]]:
    """The States and territories of each Region, by their two letters."""
    return {int(name): tuple(states.split()) for name, states in tomllib.loads(LIST.read_text()).items()}


def region_of(state: str) -> int | None:
    """The Region of a State; None for one that the rule does not list."""
    return next((number for number, states in regions().items() if state.upper() in states), None)


def state_in(address: str) -> str:
    """The two letters before the ZIP code at the end of an address; "" when they do not stand there."""
    found = LAST.search(address.strip())
    return found[1] if found else ""
