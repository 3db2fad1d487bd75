"""Which records are past the time that they have to be kept, and what still keeps one that is.

A record is counted from its anchor: its own day, for a card the end of the authorisation, for an equipment statement
the day the last of its machines went out of service. It is past its time on the day after its last day, never on it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from shop.core.phrase import phrase


class OldKind(StrEnum):
    JOB = "job"
    REPORT = "usage report"
    DELIVERY = "delivery"
    SHIPMENT = "shipment"
    CARD = "609 card"
    STATEMENT = "statement"
    EARLIER = "earlier paper"


# the kind of record whose years the rule packs speak of; what they do not know is kept by the shop's own rule
KEPT_AS = {
    OldKind.JOB: "job papers",
    OldKind.REPORT: "job papers",
    OldKind.DELIVERY: "can purchases",
    OldKind.SHIPMENT: "facilities",
    OldKind.CARD: "cards",
    OldKind.STATEMENT: "statements",
    OldKind.EARLIER: "job papers",
}
TITLES = {
    OldKind.JOB: phrase("Jobs with their certificates and photos"),
    OldKind.REPORT: phrase("Usage reports"),
    OldKind.DELIVERY: phrase("Deliveries"),
    OldKind.SHIPMENT: phrase("Shipments to facilities"),
    OldKind.CARD: phrase("609 cards"),
    OldKind.STATEMENT: phrase("Equipment statements"),
    OldKind.EARLIER: phrase("Earlier papers"),
}
ANCHORS = {
    OldKind.JOB: phrase("the day of the work, or of its newest paper"),
    OldKind.REPORT: phrase("the day it was signed"),
    OldKind.DELIVERY: phrase("the day it came"),
    OldKind.SHIPMENT: phrase("the day it left, or of the facility's ticket"),
    OldKind.CARD: phrase("the end of the authorisation"),
    OldKind.STATEMENT: phrase("the day the last of its machines went out of service"),
    OldKind.EARLIER: phrase("the last day of its month"),
}


class Keeps(StrEnum):
    """What still keeps a record that is past its time."""

    NOTHING = ""
    HOLD = "on hold"
    NEEDED = "needed"
    CLEARED = "cleared"


@dataclass(frozen=True, slots=True)
class Old:
    """One record past its time. ``pk`` is its row, ``needed_by`` what still stands on it, in words. ``cleared``: its
    customer's details are put away or gone, and the rest stays for ever."""

    kind: OldKind
    pk: int
    key: str
    anchor: date
    last_day: date
    held: bool = False
    needed_by: str = ""
    archived: bool = False
    cleared: bool = False

    @property
    def keeps(self) -> Keeps:
        if self.cleared:
            return Keeps.CLEARED
        if self.held:
            return Keeps.HOLD
        return Keeps.NEEDED if self.needed_by else Keeps.NOTHING

    @property
    def is_free(self) -> bool:
        """Nothing keeps it: an archive may take it."""
        return self.keeps is Keeps.NOTHING


@dataclass(frozen=True, slots=True)
class KindLine:
    """One kind of record: how many are past their time, and how they stand."""

    kind: OldKind
    past: int
    held: int
    needed: int
    free: int
    archived: int
    cleared: int

    @property
    def title(self) -> str:
        return TITLES[self.kind]

    @property
    def anchor(self) -> str:
        return ANCHORS[self.kind]


def by_kind(records: Iterable[Old]) -> list[KindLine]:
    """A line for every kind, also those of which nothing is past its time."""
    rows = list(records)
    return [_line(kind, [one for one in rows if one.kind == kind]) for kind in OldKind]


def _line(kind: OldKind, rows: list[Old]) -> KindLine:
    free = [one for one in rows if one.is_free]
    return KindLine(
        kind,
        len(rows),
        sum(one.keeps is Keeps.HOLD for one in rows),
        sum(one.keeps is Keeps.NEEDED for one in rows),
        len(free),
        sum(one.archived for one in free),
        sum(one.cleared for one in rows),
    )
