"""What was brought in from spreadsheets, as a list."""

from __future__ import annotations

from inventory.queries import imports
from shop.core.sheet import Sheet, columns
from shop.models import Establishment
from shop.sheets import clock


def imports_sheet(establishment: Establishment) -> Sheet:
    """Every import, and how it was undone."""
    return Sheet(
        "imports",
        "Files that were brought in from spreadsheets, the newest first.",
        columns(
            ("import", "its number"),
            ("what", "opening-stock, people or vehicles"),
            ("file_name", "as it was sent"),
            ("sha256", "fingerprint of the file"),
            ("rows", "how many were written"),
            ("undone", "why it was taken back"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
        ),
        (
            (
                one.pk,
                one.what,
                one.file_name,
                one.sha256,
                one.rows,
                one.undone.why if hasattr(one, "undone") else None,
                one.by.name,
                clock(establishment, one.at),
            )
            for one in imports(establishment)
        ),
    )
