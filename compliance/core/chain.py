"""How the links of a shop's chain hash each other."""

from __future__ import annotations

from shop.core.canonical import sha256

START = "0" * 64


def link_hash(before: str, body: str) -> str:
    """SHA-256 over the hash before and the stored body, with a line end between them."""
    return sha256(f"{before}\n{body}")
