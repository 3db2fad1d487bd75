"""Visits as a sheet."""

from __future__ import annotations

from compliance.queries.trails import visits
from shop.core.sheet import Sheet, columns
from shop.models import Establishment
from shop.sheets import clock


def visits_sheet(establishment: Establishment) -> Sheet:
    """Every visit slip, oldest first."""
    return Sheet(
        "visits",
        "Visits of somebody who asked for the records: who, what for, and how much was shown and copied.",
        columns(
            ("visit", "its number"),
            ("came_at", "when, on the shop's clock"),
            ("name", "the visitor"),
            ("agency", "as typed"),
            ("credentials_seen", "yes or no"),
            ("here_for", "as typed"),
            ("with", "who answered"),
            ("shown", "how many things"),
            ("copies", "how many were handed over"),
            ("answers_owed", "how many questions were left open"),
            ("ended_at", "when; empty while it runs"),
        ),
        (
            (
                one.number,
                clock(establishment, one.at),
                one.name,
                one.agency,
                one.credentials,
                one.why,
                one.host.name,
                len(one.shown.all()),
                len(one.copies.all()),
                len(one.questions.all()),
                clock(establishment, one.end.at) if hasattr(one, "end") else None,
            )
            for one in visits(establishment).order_by("pk")
        ),
    )
