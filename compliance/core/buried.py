"""What ``verify`` asks of tombstones: that each stands over what it says, and that nothing was cleared without one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from compliance.core.clearing import Facts, sealed, too_soon_until, undo_until, without_customer
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
class Step:
    """A signed step: the day that it gives, its moment, the day of that moment in the shop, and who signed."""

    on: date
    at: datetime
    day: date
    by: int


@dataclass(frozen=True, slots=True)
class StepsRow:
    """One clearing with its steps."""

    name: str
    asked: Step
    confirmed: Step | None = None
    undo_until: date | None = None
    undone: Step | None = None
    done: Step | None = None
    buried: int = 0


@dataclass(frozen=True, slots=True)
class TakenRow:
    """A job whose details a clearing took: its last day by federal law, and when a hold was on it."""

    name: str
    last_day: date
    asked_on: date
    confirmed_at: datetime
    done_at: datetime | None
    holds: tuple[tuple[datetime, datetime | None], ...]


def buried_findings(rows: Iterable[BuriedRow]) -> Iterable[Finding]:
    for row in rows:
        if not row.stands:
            continue
        yield from _facts_findings(row)
        if row.done and row.content is not None:
            yield blocked("put-away-left", f"{row.name}: it was cleared and is put away as well.")
        if not row.done and row.content is None:
            yield blocked("put-away-missing", f"{row.name}: what was put away is not there.")
        if row.content is not None and sealed(row.salt, row.content) != row.sealed:
            yield blocked("put-away-changed", f"{row.name}: what was put away is not what stood there.")


def _facts_findings(row: BuriedRow) -> Iterable[Finding]:
    """What stands on the row is what clearing left there: signed facts with all but the customer."""
    if row.now is None or sha256(row.now) != row.stays_sha256:
        yield blocked("cleared-changed", f"{row.name}: what stands there is not what clearing left.")
        return
    if row.facts is None:
        return
    now = row.now.decode()
    if without_customer(row.facts, now) != now:
        yield blocked("customer-left", f"{row.name}: the customer still stands in what clearing left.")
    elif row.content is not None and without_customer(row.facts, row.content.decode()) != now:
        yield blocked("cleared-changed", f"{row.name}: more than the customer left the signed facts.")


def steps_findings(rows: Iterable[StepsRow]) -> Iterable[Finding]:
    """No step came too soon or is dated otherwise than it was signed, and no detail left its row without one."""
    for row in rows:
        for step in (row.asked, row.confirmed, row.undone, row.done):
            if step is not None and step.on != step.day:
                yield blocked("clearing-misdated", f"{row.name}: a step of {step.day} says {step.on}.")
        if row.confirmed is None or row.undo_until is None:
            if row.buried or row.done is not None:
                yield blocked("clearing-unconfirmed", f"{row.name}: details left their rows unconfirmed.")
            continue
        too_soon = too_soon_until(
            same_person=row.confirmed.by == row.asked.by,
            asked_at=row.asked.at,
            asked_on=row.asked.on,
            at=row.confirmed.at,
            today=row.confirmed.on,
        )
        if too_soon or row.undo_until < undo_until(row.confirmed.on):
            yield blocked("clearing-too-soon", f"{row.name}: it was confirmed too soon.")
        if row.done is not None and (row.undone is not None or row.done.on <= row.undo_until):
            yield blocked("clearing-too-soon", f"{row.name}: it was cleared before its days were over.")


def taken_findings(rows: Iterable[TakenRow]) -> Iterable[Finding]:
    """No details were taken off a job that is too young, or that was on hold when they were."""
    for row in rows:
        if row.asked_on <= row.last_day:
            yield blocked("cleared-too-young", f"{row.name}: it has to be kept until {row.last_day}.")
        for moment in (row.confirmed_at, row.done_at):
            if moment is not None and any(
                began < moment and (ended is None or ended > moment) for began, ended in row.holds
            ):
                yield blocked("cleared-on-hold", f"{row.name}: its details were taken while it was on hold.")
                break
