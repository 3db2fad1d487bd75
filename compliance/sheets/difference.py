"""Suspects of a count's difference, and what was said about differences, as sheets."""

from __future__ import annotations

from compliance.queries.difference import Hunt
from inventory.queries import difference_notes
from shop.core.sheet import Sheet, columns
from shop.models import Establishment
from shop.sheets import clock


def suspects_sheet(hunt: Hunt) -> Sheet:
    """The suspects of one count and refrigerant in the order of the page."""
    return Sheet(
        "suspects",
        "Suspects of one count's difference, the best first; what is booked already comes last.",
        columns(
            ("count_on", "day of the count"),
            ("refrigerant", "that was counted"),
            ("difference_g", "found less expected, g, exact"),
            ("suspect", "which kind it is"),
            ("evidence", "what is on file about it"),
            ("from_g", "could explain at least, g, signed like the difference"),
            ("to_g", "could explain at most, g, signed like the difference"),
            ("how_sure", "on file, likely or possible"),
            ("booked", "yes when the book has it already"),
            ("check_at", "address of the page where it is checked"),
        ),
        (
            (
                hunt.count.on,
                hunt.refrigerant,
                hunt.difference,
                line.suspect.kind,
                str(line.suspect.evidence),
                line.suspect.low,
                line.suspect.high,
                str(line.suspect.sure),
                line.suspect.booked,
                line.href,
            )
            for line in hunt.lines
        ),
    )


def notes_sheet(establishment: Establishment) -> Sheet:
    """Every difference that was left with a note."""
    return Sheet(
        "difference-notes",
        "Differences of counts that were left as differences, with who said so and why.",
        columns(
            ("count", "its number in the order of signing"),
            ("count_on", "day of the count"),
            ("refrigerant", "that was counted"),
            ("left_g", "the difference as it was left, g, exact"),
            ("note", "as typed"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
        ),
        (
            (
                one.count_id,
                one.count.on,
                one.refrigerant_id,
                one.left,
                one.note,
                one.by.name,
                clock(establishment, one.at),
            )
            for one in difference_notes(establishment).order_by("pk")
        ),
    )
