"""Entries of a job that are kept and do not count: set aside, or second to what another phone wrote meanwhile."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Model

from compliance.models import CanTicket, Job, SpareEntry, Stage
from compliance.models.stages import Detail
from compliance.queries.sheets import DETAILS, Sheet
from inventory.models import Container
from shop.models import Person


@dataclass(frozen=True, slots=True)
class Rivals:
    """Two entries for one thing, side by side: the one that counts, in words, and the one that does not."""

    spare: SpareEntry
    first: Stage | CanTicket
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Spares:
    """``open`` waits for a choice, ``aside`` is history."""

    open: tuple[Rivals, ...]
    aside: tuple[SpareEntry, ...]


def spares_of(job: Job) -> Spares:
    rows = list(
        SpareEntry.objects.filter(job=job).select_related(
            "by", "choice__by", "stage__by", "row__by", "row__ticket__scale"
        )
    )
    undecided = [row for row in rows if not hasattr(row, "choice") and (row.stage or row.row)]
    return Spares(
        tuple(Rivals(row, _first(row), tuple(_says(_first(row)))) for row in undecided),
        tuple(row for row in rows if row not in undecided),
    )


def looked_at(sheet: Sheet) -> str:
    """The newest stage and the newest ticket of a page: what a form of it had seen when it was typed."""
    stages = [stage.pk for stage in sheet.written]
    rows = [row.pk for can in sheet.cans for row in can.tickets]
    return f"{max(stages, default=0)}.{max(rows, default=0)}"


def rival_stage(job: Job, kind: str, looked: str, *, by: Person) -> Stage | None:
    """The same stage, written by somebody else since this form was looked at."""
    seen = looked.partition(".")[0]
    if not seen.isdecimal() or len(seen) > 18:
        return None
    return Stage.objects.filter(job=job, kind=kind, pk__gt=int(seen)).exclude(by=by).last()


def rival_ticket(job: Job, can: Container, moment: str, looked: str, *, by: Person) -> CanTicket | None:
    """A reading of the same can at the same moment, typed by somebody else since this form was looked at."""
    seen = looked.partition(".")[2]
    if not seen.isdecimal() or len(seen) > 18:
        return None
    rows = CanTicket.objects.filter(job=job, ticket__container=can, moment=moment, pk__gt=int(seen))
    return rows.filter(retyped=None).exclude(by=by).last()


def _first(row: SpareEntry) -> Stage | CanTicket:
    first = row.stage or row.row
    assert first is not None  # noqa: S101 - asked of rivals only
    return first


def _says(first: Stage | CanTicket) -> list[str]:
    """What the entry that counts says, value by value."""
    if isinstance(first, CanTicket):
        return [first.ticket.container_id, str(first.ticket.reading), first.get_moment_display()]
    names = dict.fromkeys(name.partition("__")[0] for name in DETAILS)
    details = [getattr(first, name, None) for name in names]
    values = [
        _value(one, field.name) for one in details if isinstance(one, Detail) for field in one._meta.fields
    ]
    return [value for value in [first.outcome, first.reason, *values] if value]


def _value(detail: Model, name: str) -> str:
    if name == "stage":
        return ""
    value = getattr(detail, name)
    return "" if value in (None, "", False) else str(getattr(value, "reading", value))
