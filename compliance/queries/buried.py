"""Reads tombstones for ``verify``: what stood on a row, what stands there now, and how each clearing came about."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import islice
from typing import NamedTuple

from django.db.models import Count

from compliance.core.buried import (
    BuriedRow,
    Step,
    StepsRow,
    TakenRow,
    buried_findings,
    steps_findings,
    taken_findings,
)
from compliance.core.clearing import Facts
from compliance.core.federal.keeping import last_kept
from compliance.models import (
    Clearing,
    ClearingConfirmed,
    ClearingDone,
    ClearingUndone,
    Closing,
    Document,
    Job,
    PutAway,
    Tombstone,
)
from compliance.queries.cleared import standing
from compliance.queries.facts import local
from compliance.queries.sealed import chained_findings
from compliance.records import CLEARABLE, FACTS, Clearable
from shop.core.findings import Finding, blocked

AT_ONCE = 50  # tombstones, some of which have a paper put away


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
            *taken_findings(_taken()),
            *_astray(),
            *chained_findings(),
            *self._marks_without_a_tombstone(),
        ]

    def _rows(self) -> Iterator[BuriedRow]:
        done = set(ClearingDone.objects.values_list("clearing", flat=True))
        for one in CLEARABLE:
            stones = Tombstone.objects.filter(of_table=one.table).order_by("of_row", "pk")
            read = stones.select_related("put_away").iterator(chunk_size=AT_ONCE)
            while some := list(islice(read, AT_ONCE)):
                now, kinds = _now(one, some), _kinds(one, some)
                for stone in some:
                    held = getattr(stone, "put_away", None)
                    place = Place(stone.of_table, stone.of_row, stone.of_column)
                    yield BuriedRow(
                        f"{stone.of_table} {stone.of_row} {stone.of_column}",
                        self.places.get(place) == stone.pk,
                        stone.clearing_id in done,
                        now.get((stone.of_row, stone.of_column)),
                        stone.stays_sha256,
                        stone.sealed,
                        bytes(held.content) if held is not None else None,
                        held.salt if held is not None else "",
                        kinds.get(stone.of_row) if stone.of_column == FACTS else None,
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


def _astray() -> Iterator[Finding]:
    tables = [one.table for one in CLEARABLE]
    for stone in Tombstone.objects.exclude(of_table__in=tables):
        yield blocked(
            "tombstone-astray", f"Tombstone {stone.pk} stands over {stone.of_table}, which is not cleared."
        )


def _now(one: Clearable, stones: Sequence[Tombstone]) -> dict[tuple[int, str], bytes]:
    """What stands in the columns of these tombstones' rows, as bytes."""
    rows = one.model._default_manager.filter(pk__in={stone.of_row for stone in stones})
    found = {}
    for pk, *values in rows.values_list("pk", *one.marks):
        for name, value in zip(one.marks, values, strict=True):
            found[(pk, name)] = value.encode() if isinstance(value, str) else bytes(value)
    return found


def _kinds(one: Clearable, stones: Sequence[Tombstone]) -> dict[int, Facts]:
    """What the facts of these rows are the facts of."""
    rows = {stone.of_row for stone in stones}
    if one.model is Document:
        kinds = Document.objects.filter(pk__in=rows).values_list("pk", "kind")
        return {pk: Facts(kind) for pk, kind in kinds}
    return dict.fromkeys(rows, Facts.CLOSING if one.model is Closing else Facts.SLIP)


def _steps() -> Iterator[StepsRow]:
    rows = Clearing.objects.select_related("establishment", "confirmed", "undone", "done").order_by("pk")
    for one in rows.annotate(buried=Count("tombstones")):
        confirmed = getattr(one, "confirmed", None)
        yield StepsRow(
            f"Clearing {one.pk}",
            _step(one, one),
            _step(one, confirmed) if confirmed else None,
            confirmed.undo_until if confirmed else None,
            _step(one, one.undone) if hasattr(one, "undone") else None,
            _step(one, one.done) if hasattr(one, "done") else None,
            one.buried,
        )


def _step(clearing: Clearing, row: Clearing | ClearingConfirmed | ClearingUndone | ClearingDone) -> Step:
    return Step(row.on, row.at, local(clearing.establishment, row.at).date(), row.by_id)


def _taken() -> Iterator[TakenRow]:
    stones = standing().filter(clearing__confirmed__isnull=False)
    pairs = stones.order_by("clearing", "job").values_list("clearing", "job").distinct()
    clearings = Clearing.objects.select_related("confirmed", "done").in_bulk()
    jobs = (
        Job.objects.select_related("closing")
        .prefetch_related("holds__end")
        .in_bulk({job for _clearing, job in pairs})
    )
    for clearing, pk in pairs:
        one, job = clearings[clearing], jobs[pk]
        yield TakenRow(
            f"{job.number}, clearing {clearing}",
            last_kept(job.closing.on),
            one.on,
            one.confirmed.at,
            one.done.at if hasattr(one, "done") else None,
            tuple((hold.at, hold.end.at if hasattr(hold, "end") else None) for hold in job.holds.all()),
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
