"""Papers from before the book, as a list."""

from __future__ import annotations

from inventory.queries import earlier_papers
from shop.core.sheet import Sheet, columns
from shop.models import Establishment
from shop.sheets import clock


def earlier_sheet(establishment: Establishment) -> Sheet:
    """Every scan from before the book; the files themselves leave with the whole shop."""
    rows = earlier_papers(establishment).select_related("by", "set_aside")
    return Sheet(
        "earlier-papers",
        "Scans of the shop's own paper from before the book, by month.",
        columns(
            ("paper", "its number"),
            ("month", "first day of the month it is of"),
            ("what", "as typed"),
            ("media", "PDF or JPEG"),
            ("bytes", "size"),
            ("sha256", "fingerprint of the file"),
            ("set_aside", "why it counts no more"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
        ),
        (
            (
                one.pk,
                one.month,
                one.what,
                one.media,
                one.size,
                one.sha256,
                one.set_aside.why if hasattr(one, "set_aside") else None,
                one.by.name,
                clock(establishment, one.at),
            )
            for one in rows
        ),
    )
