"""Clearings of old records as a sheet, job by job."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.models import Clearing
from compliance.queries.cleared import clearings, step_of
from shop.core.sheet import Sheet, Value, columns
from shop.models import Establishment
from shop.sheets import clock


def clearings_sheet(establishment: Establishment) -> Sheet:
    """Every job that somebody asked to clear: what came of it, who said so and when."""
    return Sheet(
        "clearings",
        "Old records that somebody asked to clear, job by job.",
        columns(
            ("clearing", "its row"),
            ("archive_sha256", "of the archive that holds them"),
            ("job", "its number"),
            ("stands", "asked, put away, cleared, undone, or left out"),
            ("left_out_because", "what keeps a job that was left out"),
            ("asked_by", "who"),
            ("asked_at", "when, on the shop's clock"),
            ("confirmed_by", "who"),
            ("confirmed_at", "when, on the shop's clock"),
            ("undo_until", "last day on which the details can come back"),
            ("undone_by", "who called it off or brought it back"),
            ("undone_at", "when, on the shop's clock"),
            ("cleared_by", "who"),
            ("cleared_at", "when, on the shop's clock"),
        ),
        _rows(establishment),
    )


def _rows(establishment: Establishment) -> Iterator[tuple[Value, ...]]:
    for clearing in clearings(establishment).order_by("pk"):
        out = dict(clearing.left_out.values_list("job__number", "why"))
        jobs = clearing.jobs.values_list("job__number", flat=True)
        for number in dict.fromkeys([*jobs, *out]):
            stands = "left out" if number in out else step_of(clearing)
            yield (
                clearing.pk,
                clearing.archive.sha256,
                number,
                stands,
                out.get(number, ""),
                *_signed(establishment, clearing),
            )


def _signed(establishment: Establishment, clearing: Clearing) -> tuple[Value, ...]:
    confirmed, undone, done = (getattr(clearing, step, None) for step in ("confirmed", "undone", "done"))
    return (
        *(clearing.by.name, clock(establishment, clearing.at)),
        *(
            (confirmed.by.name, clock(establishment, confirmed.at), confirmed.undo_until)
            if confirmed
            else (None,) * 3
        ),
        *((undone.by.name, clock(establishment, undone.at)) if undone else (None, None)),
        *((done.by.name, clock(establishment, done.at)) if done else (None, None)),
    )
