"""Correction slips and holds as sheets."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.models import CorrectedField, JobHold
from shop.core.period import Period
from shop.core.sheet import Sheet, Value, columns
from shop.models import Establishment
from shop.sheets import clock


def corrections_sheet(establishment: Establishment, period: Period | None = None) -> Sheet:
    """Everything that was put right after a job was closed, or by the slips of a period, thing by thing."""
    return Sheet(
        "corrections",
        "Correction slips, thing by thing: as it read, as it should read, why, who, when.",
        columns(
            ("slip", "its number"),
            ("job", "that it corrects"),
            ("worked_on", "day that the job's work belongs to"),
            ("what", "was wrong"),
            ("old", "as it read, with its unit"),
            ("new", "as it should read, with its unit"),
            ("why", "as typed"),
            ("book_day", "on which the book moved for it; empty when no mass moved"),
            ("certificate", "the version that prints it"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
        ),
        _rows(establishment, period),
    )


def _rows(establishment: Establishment, period: Period | None) -> Iterator[tuple[Value, ...]]:
    rows = CorrectedField.objects.filter(correction__establishment=establishment).order_by("pk")
    if period is not None:
        rows = rows.filter(correction__at__range=period.instants(establishment.time_zone))
    kin = ("correction__closing__job", "correction__entry", "correction__document", "correction__by")
    for one in rows.select_related(*kin).defer("correction__document__pdf", "correction__document__facts"):
        slip = one.correction
        yield (
            slip.number,
            slip.closing.job.number,
            slip.closing.on,
            one.label,
            one.old,
            one.shown,
            slip.why,
            slip.entry.on if slip.entry is not None else None,
            str(slip.document),
            slip.by.name,
            clock(establishment, slip.at),
        )


def holds_sheet(establishment: Establishment) -> Sheet:
    """Every hold, also those that are over."""
    rows = JobHold.objects.filter(job__establishment=establishment).order_by("pk")
    return Sheet(
        "holds",
        "Jobs that were put on hold: nothing of them is cleared until the hold ends.",
        columns(
            ("job", "on hold"),
            ("why", "as typed"),
            ("placed_by", "who"),
            ("placed_at", "when, on the shop's clock"),
            ("end_why", "as typed; empty while it runs"),
            ("ended_by", "who"),
            ("ended_at", "when, on the shop's clock"),
        ),
        (_hold(establishment, one) for one in rows.select_related("job", "by", "end__by").iterator()),
    )


def _hold(establishment: Establishment, one: JobHold) -> tuple[Value, ...]:
    placed = (one.job.number, one.why, one.by.name, clock(establishment, one.at))
    if not hasattr(one, "end"):
        return (*placed, None, None, None)
    return (*placed, one.end.why, one.end.by.name, clock(establishment, one.end.at))
