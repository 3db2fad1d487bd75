"""PINs and codes: what a person may show at a shared station instead of their password."""

from __future__ import annotations

import hashlib
from itertools import pairwise

from shop.core.findings import Finding, blocked

PIN_DIGITS = (4, 8)


def pin_problems(pin: str) -> list[Finding]:
    """What is wrong with a PIN that somebody wants: its length, or that anybody would guess it."""
    least, most = PIN_DIGITS
    if not (pin.isascii() and pin.isdigit() and least <= len(pin) <= most):
        return [blocked("pin-digits", f"PIN: {least} to {most} digits.", "pin")]
    steps = {(int(after) - int(before)) % 10 for before, after in pairwise(pin)}
    if steps == {0}:
        return [blocked("pin-same", "PIN: not the same digit all along; anybody would try that.", "pin")]
    if steps in ({1}, {9}):
        return [blocked("pin-run", "PIN: not a run such as 1234 or 4321; anybody would try that.", "pin")]
    return []


def digest(secret: str) -> str:
    """What is kept of a random code. Its 128 bits and more leave nothing to guess, so one fast hash is enough."""
    return hashlib.sha256(secret.encode()).hexdigest()


def badge_code(typed: str) -> str:
    """A badge's code as its reader or a person typed it: capitals, without spaces and dashes."""
    return "".join(typed.split()).replace("-", "").upper()
