"""What ``verify`` asks of tombstones: that each stands over what it says, and that nothing was cleared without one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from compliance.core.clearing import Facts, sealed, undo_until, without_customer
from shop.core.canonical import sha256
from shop.core.findings import Finding, blocked


@dataclass(frozen=True, slots=True)
class BuriedRow:
    """One tombstone: what stands on its row now, and what is put away for it, as bytes.

    ``stands`` is false when the detail came back. ``content`` and ``salt`` are empty when nothing is put away.
    """

    name: str
    stands: bool
    done: bool
    now: bytes | None
    stays_sha256: str
    sealed: str
    content: bytes | None
    salt: str = ""
    facts: Facts | None = None


@dataclass(frozen=True, slots=True)
class StepsRow:
    """One clearing: its days, and who asked and confirmed."""

    name: str
    asked_on: date
    asked_by: int
    confirmed_on: date | None = None
    confirmed_by: int | None = None
    undo_until: date | None = None
    undone: bool = False
    done_on: date | None = None
    buried: int = 0


def buried_findings(rows: Iterable[BuriedRow]) -> Iterable[Finding]:
    for row in rows:
        if not row.stands:
            if row.content is not None:
                yield blocked("put-away-left", f"{row.name}: it came back and is put away as well.")
            continue
        if row.now is None or sha256(row.now) != row.stays_sha256:
            yield blocked("cleared-changed", f"{row.name}: what stands there is not what clearing left.")
        elif row.facts is not None and without_customer(row.facts, row.now.decode()) != row.now.decode():
            yield blocked("customer-left", f"{row.name}: the customer still stands in what clearing left.")
        if row.done and row.content is not None:
            yield blocked("put-away-left", f"{row.name}: it was cleared and is put away as well.")
        if not row.done and row.content is None:
            yield blocked("put-away-missing", f"{row.name}: what was put away is not there.")
        if row.content is not None and sealed(row.salt, row.content) != row.sealed:
            yield blocked("put-away-changed", f"{row.name}: what was put away is not what stood there.")


def steps_findings(rows: Iterable[StepsRow]) -> Iterable[Finding]:
    """No step came too soon, and no detail left its row without one."""
    for row in rows:
        if row.confirmed_on is None or row.undo_until is None:
            if row.buried or row.done_on is not None:
                yield blocked("clearing-unconfirmed", f"{row.name}: details left their rows unconfirmed.")
            continue
        same_day = row.confirmed_by == row.asked_by and row.confirmed_on <= row.asked_on
        if same_day or row.undo_until < undo_until(row.confirmed_on):
            yield blocked("clearing-too-soon", f"{row.name}: it was confirmed too soon.")
        if row.done_on is not None and (row.undone or row.done_on <= row.undo_until):
            yield blocked("clearing-too-soon", f"{row.name}: it was cleared before its days were over.")
