"""Reading a container's number, however it was typed or scanned.

The page's own script reads a scanned number the same way (``shop/static/shop/scan.js``), so that it can go to the can
at once; ``fixtures/scanned_numbers.csv`` runs against both.
"""

from __future__ import annotations

import re

LONGEST = 200  # characters of one number; a scanned label gives the whole address of the container's page
ADDRESS = re.compile(
    r"^HTTPS?://\S+/CONTAINERS/(?P<code>[A-Z0-9-]{1,24})/?(?:[?#]\S*)?$", re.ASCII | re.IGNORECASE
)
NUMBERED = re.compile(r"(?:K-?)?(?P<digits>\d{1,8})", re.ASCII)


def scanned_number(text: str) -> str:
    """The number in the address that a label's code holds; "" when it is no such address."""
    scanned = ADDRESS.match(text.strip())
    return scanned["code"].upper() if scanned is not None else ""


def number_in(text: str) -> str:
    """The number in the shop's own form: "312", "K312", "k-0312" and a scanned label of it are all K-0312."""
    code = scanned_number(text) or text.strip().upper()
    numbered = NUMBERED.fullmatch(code)
    return f"K-{int(numbered['digits']):04d}" if numbered is not None else code


def numbers_in(text: str) -> list[str]:
    """All numbers in a list that was typed or scanned, each once, in their order."""
    return list(dict.fromkeys(number_in(one) for one in re.split(r"[\s,;]+", text) if one))
