"""Reading a container's number, however it was typed or scanned."""

from __future__ import annotations

import re

LONGEST = 200  # characters of one number; a scanned label gives the whole address of the container's page
ADDRESS = re.compile(r"^HTTPS?://\S+/CONTAINERS/(?P<code>[A-Z0-9-]{1,24})/?$", re.ASCII)


def number_in(text: str) -> str:
    """The number in the shop's own form: "312", "K312", "k-0312" and a scanned label of it are all K-0312."""
    code = text.strip().upper()
    scanned = ADDRESS.match(code)
    if scanned is not None:
        return scanned["code"]
    digits = code.removeprefix("K-").removeprefix("K")
    return f"K-{int(digits):04d}" if digits.isascii() and digits.isdigit() and len(digits) < 9 else code


def numbers_in(text: str) -> list[str]:
    """All numbers in a list that was typed or scanned, each once, in their order."""
    return list(dict.fromkeys(number_in(one) for one in re.split(r"[\s,;]+", text) if one))
