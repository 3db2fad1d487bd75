"""The rules of every pack that a shop has worked under, as a sheet."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.queries.packs import packs_chosen
from shop.core.sheet import Sheet, Value, columns
from shop.models import Establishment


def rules_sheet(establishment: Establishment) -> Sheet:
    """One row for each rule of each edition: the federal baseline, and whatever was ever chosen beside it."""
    return Sheet(
        "rules",
        "The rules of the packs that this shop has chosen, each edition, with citation and how it was read.",
        columns(
            ("code", "of the rule"),
            ("asked_by", "federal law, state rule or local rule"),
            ("pack", "its edition"),
            ("pack_from", "jobs of this day and later use the edition"),
            ("pack_to", "last day of its jobs; empty while it runs"),
            ("kind", "of rule"),
            ("moment", "when it is looked at"),
            ("severity", "blocks, warns or info"),
            ("sentence", "in our words"),
            ("cite", "where it is written"),
            ("status", "read, secondary or memory"),
            ("read_at", "where it was read"),
            ("read_on", "when it was read"),
            ("since", "in force from; empty: not looked up"),
            ("until", "in force to"),
        ),
        _rows(establishment),
    )


def _rows(establishment: Establishment) -> Iterator[tuple[Value, ...]]:
    for pack in packs_chosen(establishment):
        for rule in pack.rules:
            yield (
                rule.code,
                str(pack.level.asks),
                pack.key,
                pack.since,
                pack.until,
                str(rule.kind),
                rule.moment.value,
                rule.severity.value,
                rule.sentence,
                rule.cite,
                rule.status.value,
                rule.read_at,
                rule.read_on,
                rule.since,
                rule.until,
            )
