"""Reads tombstones for ``verify``: what stood on a row, what stands there now, and how each clearing came about."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any, NamedTuple

from django.db.models import Count

from compliance.core.buried import BuriedRow, StepsRow, buried_findings, steps_findings
from compliance.core.clearing import Facts
from compliance.models import Clearing, ClearingDone, Closing, Document, PutAway, Tombstone
from compliance.queries.cleared import standing
from compliance.records import CLEARABLE, FACTS, Clearable
from shop.core.findings import Finding, blocked


class Place(NamedTuple):
    """One column of one row."""

    table: str
    row: int
    column: str


class Buried:
    """All details that are off their rows, read once."""

    def __init__(self) -> None:
        rows = standing().values_list("of_table", "of_row", "of_column", "pk")
        self.places = {Place(table, row, column): pk for table, row, column, pk in rows.iterator()}

    def stood(self, table: str, row: int, column: str, now: str | bytes) -> str | bytes | None:
        """What a column held before it was put away; what it holds, when nothing was; None when that is gone."""
        pk = self.places.get(Place(table, row, column))
        if pk is None:
            return now
        content = PutAway.objects.filter(pk=pk).values_list("content", flat=True).first()
        if content is None:
            return None
        return bytes(content).decode() if isinstance(now, str) else bytes(content)

    def findings(self) -> list[Finding]:
        return [
            *buried_findings(self._rows()),
            *steps_findings(_steps()),
            *self._marks_without_a_tombstone(),
        ]

    def _rows(self) -> Iterator[BuriedRow]:
        done = set(ClearingDone.objects.values_list("clearing", flat=True))
        tables = {one.table: one for one in CLEARABLE}
        for stone in Tombstone.objects.select_related("put_away").order_by("pk").iterator(chunk_size=50):
            one, held = tables[stone.of_table], getattr(stone, "put_away", None)
            yield BuriedRow(
                f"{stone.of_table} {stone.of_row} {stone.of_column}",
                Place(stone.of_table, stone.of_row, stone.of_column) in self.places
                and self.places[Place(stone.of_table, stone.of_row, stone.of_column)] == stone.pk,
                stone.clearing_id in done,
                _now(one, stone),
                stone.stays_sha256,
                stone.sealed,
                bytes(held.content) if held is not None else None,
                held.salt if held is not None else "",
                _facts(one, stone),
            )

    def _marks_without_a_tombstone(self) -> Iterator[Finding]:
        """Somebody wrote the mark by hand: what stood there is lost, and no clearing says so."""
        for one in CLEARABLE:
            for name, mark in one.marks.items():
                if not mark:
                    continue  # facts, PDF and photos have their own hashes
                rows = one.model._default_manager.filter(**{name: mark}).values_list("pk", flat=True)
                for pk in rows.order_by("pk"):
                    if Place(one.table, pk, name) not in self.places:
                        sentence = f"{one.table} {pk} {name} is marked as cleared, and no clearing did that."
                        yield blocked("cleared-by-nobody", sentence)


def _now(one: Clearable, stone: Tombstone) -> bytes | None:
    rows: Any = one.model._default_manager.filter(pk=stone.of_row).values_list(stone.of_column, flat=True)
    value = rows.first()
    if value is None:
        return None
    return value.encode() if isinstance(value, str) else bytes(value)


def _facts(one: Clearable, stone: Tombstone) -> Facts | None:
    if stone.of_column != FACTS:
        return None
    if one.model is Document:
        return Facts(Document.objects.values_list("kind", flat=True).get(pk=stone.of_row))
    return Facts.CLOSING if one.model is Closing else Facts.SLIP


def _steps() -> Iterator[StepsRow]:
    rows = Clearing.objects.select_related("confirmed", "undone", "done").order_by("pk")
    for one in rows.annotate(buried=Count("tombstones")):
        confirmed, done = getattr(one, "confirmed", None), getattr(one, "done", None)
        yield StepsRow(
            f"Clearing {one.pk}",
            one.on,
            one.by_id,
            confirmed.on if confirmed else None,
            confirmed.by_id if confirmed else None,
            confirmed.undo_until if confirmed else None,
            hasattr(one, "undone"),
            done.on if done else None,
            one.buried,
        )


def cleared_told() -> list[str]:
    """What was cleared or is put away, job by job, for whoever runs ``verify``."""
    found: dict[tuple[int, str], list[str]] = defaultdict(list)
    rows = standing().values_list("clearing", "job__number", "of_table").order_by("job", "of_table", "pk")
    for clearing, job, table in rows:
        found[(clearing, job)].append(table.partition("_")[2])
    days = dict(ClearingDone.objects.values_list("clearing", "on"))
    told = []
    for (clearing, job), things in found.items():
        counted = ", ".join(f"{things.count(one)} of {one}" for one in dict.fromkeys(things))
        how = f"cleared {days[clearing]}" if clearing in days else "put away, not cleared yet"
        told.append(f"{job}: {how}, clearing {clearing}: {counted}")
    return told
