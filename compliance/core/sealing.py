"""What the chain holds of a clearing: its signed steps, and every tombstone that it put up, under one hash.

A link is written whenever details leave their rows, and one more when they are gone for good. ``verify`` works both out
again, so nobody changes a tombstone, or what one says is left, without writing the chain anew from there on.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import NamedTuple

from shop.core.canonical import canonical, sha256
from shop.core.findings import Finding, blocked

BEGINS = '{"clearing":'  # how the body of every such link begins, and no other


class Stone(NamedTuple):
    """A tombstone: the job, the place that it stands for, the seal of what stood there, the hash of what is left."""

    job: str
    table: str
    row: int
    column: str
    sealed: str
    stays_sha256: str


class Signed(NamedTuple):
    """A step: the day that it gives, its moment, who signed (by row), and the last day to undo, if it sets one."""

    on: date
    at: datetime
    by: int
    until: date | None = None


def link_body(
    clearing: int,
    archive_sha256: str,
    steps: Mapping[str, Signed],
    jobs: Sequence[str],
    stones: Iterable[Stone],
) -> str:
    """The body of a link: the clearing by number, its archive and steps, the jobs and all tombstones of these jobs."""
    lines = sorted(stones)
    said = {
        "number": clearing,
        "archive_sha256": archive_sha256,
        "steps": {name: _said(step) for name, step in steps.items()},
        "jobs": sorted(jobs),
        "details": len(lines),
        "details_sha256": sha256("\n".join(canonical(line) for line in lines)),
    }
    return canonical({"clearing": said})


def _said(step: Signed) -> list[str | int]:
    until = [step.until.isoformat()] if step.until else []
    return [step.on.isoformat(), step.at.astimezone(UTC).isoformat(), step.by, *until]


@dataclass(frozen=True, slots=True)
class LinkSays:
    """What the body of a link says: whose tombstones it holds, the day of its newest step, whether that is the last."""

    clearing: int
    jobs: tuple[str, ...]
    day: date
    done: bool


def said_by(body: str) -> LinkSays | None:
    """None when it cannot be read: somebody wrote into it."""
    try:
        said = json.loads(body)["clearing"]
        steps = said["steps"]
        day = date.fromisoformat(steps.get("done", steps["confirmed"])[0])
        return LinkSays(int(said["number"]), tuple(map(str, said["jobs"])), day, "done" in steps)
    except (ValueError, LookupError, TypeError, AttributeError):
        return None


@dataclass(frozen=True, slots=True)
class SealedRow:
    """A clearing's links: each body with the body that its rows give now (None: a job of it is not there), the jobs
    whose details left their rows and stand in no link or in several, and whether it is done."""

    name: str
    links: tuple[tuple[str, str | None], ...]
    astray: tuple[str, ...]
    done: bool
    done_links: int


def sealed_findings(rows: Iterable[SealedRow]) -> Iterable[Finding]:
    for row in rows:
        if any(body != now for body, now in row.links):
            sentence = f"{row.name}: its steps or tombstones are not what the chain holds of them."
            yield blocked("clearing-changed", sentence)
        if row.astray:
            few = ", ".join(row.astray[:5])
            yield blocked("clearing-unchained", f"{row.name}: the chain does not hold once what left {few}.")
        if row.done_links != int(row.done):
            yield blocked(
                "clearing-unchained", f"{row.name}: the chain does not hold once that it was cleared."
            )


class ChainDay(NamedTuple):
    """A link: its place, the day of its moment in the shop, and the clearing whose step it holds, "" for others."""

    place: int
    day: date
    step: str = ""


def backdated_findings(chain: Sequence[ChainDay]) -> Iterable[Finding]:
    """A step of a clearing is as old as its place in the chain: nothing before it is of a later day, nothing after it
    of an earlier one. Of one shop, in order."""
    latest, earliest = date.min, date.max
    before = []
    for link in chain:
        before.append(latest)
        latest = max(latest, link.day)
    found = []
    for link, past in zip(reversed(chain), reversed(before), strict=True):
        if link.step and (past > link.day or earliest < link.day):
            sentence = f"{link.step}: a step of {link.day} stands in the chain beside {past} and {earliest}."
            found.append(blocked("clearing-misdated", sentence))
        earliest = min(earliest, link.day)
    return reversed(found)
