"""How details leave their rows and come back, byte for byte. The guards of ``compliance.records`` watch every step."""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby, islice
from typing import Any

from django.db.models import Max, QuerySet

from compliance.core.clearing import Facts, is_personal, sealed, without_customer
from compliance.models import (
    CheckIn,
    Clearing,
    Closing,
    CorrectedField,
    Correction,
    Document,
    Draft,
    Job,
    PutAway,
    Tombstone,
)
from compliance.queries.cleared import hidden
from compliance.queries.sealed import body_of
from compliance.records import CLEARABLE, FACTS, Clearable
from compliance.services.chain import add_link
from compliance.services.finding import findable_correction, findable_job
from inventory.models import ImportDraft
from shop.core.canonical import sha256
from shop.core.finding import Kind
from shop.models import Establishment, Person, ProgramAnswer, Vehicle
from shop.services.finding import findable_car, forget, make_findable

AT_ONCE = 50  # rows read and buried together
Value = str | bytes


@dataclass(frozen=True, slots=True)
class Detail:
    """One column of one row, as it stands and as it will."""

    job: int
    column: str
    content: Value
    stays: Value


def put_away(clearing: Clearing, jobs: Sequence[int], *, at: datetime, by: Person) -> None:
    """Take every detail of these jobs off its row, under a link of the chain; call it inside a transaction."""
    for one in CLEARABLE:
        rows = _rows(one, clearing.establishment, jobs)
        while some := list(islice(rows, AT_ONCE)):
            _bury(clearing, one, some)
            for pk, details in some:
                changed = {detail.column: detail.stays for detail in details}
                one.model._default_manager.filter(pk=pk).update(**changed)
    numbers = list(Job.objects.filter(pk__in=jobs).values_list("number", flat=True))
    add_link(clearing.establishment, body_of(clearing, numbers), at=at, by=by)
    find_again(clearing.establishment, jobs)


def bring_back(establishment: Establishment, tombstones: QuerySet[Tombstone]) -> None:
    """Put the details of these tombstones back onto their rows; those of a clearing undone or of jobs left out."""
    tables = {one.table: one for one in CLEARABLE}
    held = PutAway.objects.filter(tombstone__in=tombstones).select_related("tombstone")
    ordered = held.order_by("tombstone__of_table", "tombstone__of_row", "pk")
    jobs: set[int] = set()
    for (table, row), parts in groupby(ordered.iterator(chunk_size=AT_ONCE), _place):
        back = {}
        for part in parts:
            back[part.tombstone.of_column] = _value(tables[table], part)
            jobs.add(part.tombstone.job_id)
        if back.get("vin") and Vehicle.objects.filter(establishment=establishment, vin=back["vin"]).exists():
            del back["vin"]  # the car came again meanwhile, and its new row knows it by this VIN
        tables[table].model._default_manager.filter(pk=row).update(**back)
    held.delete()
    find_again(establishment, sorted(jobs))


def let_go(clearing: Clearing, jobs: Sequence[int], *, at: datetime, by: Person) -> None:
    """Remove what is put away, for good, under a link of the chain; and what was typed on these jobs and never kept.
    Answers to programs and files that were looked at and not brought in may tell of these jobs, and nobody asks for
    them again."""
    PutAway.objects.filter(tombstone__clearing=clearing).delete()
    numbers = list(Job.objects.filter(pk__in=jobs).values_list("number", flat=True))
    add_link(clearing.establishment, body_of(clearing, numbers, done=True), at=at, by=by)
    Draft.objects.filter(job__in=jobs).delete()
    answered = ProgramAnswer.objects.filter(by__establishment=clearing.establishment)
    answered.filter(sent_at__lt=clearing.confirmed.received_at).delete()
    looked_at = ImportDraft.objects.filter(establishment=clearing.establishment)
    looked_at.filter(made_at__lt=clearing.confirmed.at).delete()


def find_again(establishment: Establishment, jobs: Sequence[int]) -> None:
    """Let jobs and their cars be found by what their rows say now, and by nothing else."""
    rows = Job.objects.filter(pk__in=jobs).select_related("vehicle")
    cars = {job.vehicle_id: job.vehicle for job in rows}
    forget(establishment, Kind.JOB, [job.number for job in rows])
    forget(establishment, Kind.CAR, [str(pk) for pk in cars])
    things = [findable_car(car) for car in cars.values()]
    seen = CheckIn.objects.filter(stage__job__vehicle__in=cars).select_related("stage__job__vehicle")
    for one in seen:
        things += [findable_car(one.stage.job.vehicle, one.plate), findable_job(one.stage.job, one)]
    slips = Correction.objects.filter(closing__job__vehicle__in=cars).select_related("closing__job")
    for slip in slips.prefetch_related("fields"):
        things += findable_correction(slip)
    make_findable(establishment, *things)


def _rows(
    one: Clearable, establishment: Establishment, jobs: Sequence[int]
) -> Iterator[tuple[int, list[Detail]]]:
    """Each row of a table that has something to clear, with that."""
    for pk, job, row in _read(one, establishment, jobs):
        details = [
            Detail(job, name, content, stays)
            for name, content in row.items()
            if (stays := _stays(one, name, content, pk)) != content and (content or name in one.even_empty)
        ]
        if details:
            yield pk, details


def _read(
    one: Clearable, establishment: Establishment, jobs: Sequence[int]
) -> Iterator[tuple[int, int, dict[str, Value]]]:
    if one.model is Vehicle:
        yield from _cars(establishment, jobs)
        return
    for way in one.ways:
        rows = one.model._default_manager.filter(**{f"{way}__in": jobs}).order_by("pk")
        if one.model is CorrectedField:
            keys = rows.values_list("pk", "key")
            rows = rows.filter(pk__in=[pk for pk, key in keys if is_personal(key)])
        for some in _some(list(rows.values_list("pk", flat=True))):
            read = list(rows.filter(pk__in=some).values_list("pk", way, *one.marks))
            for pk, job, *values in read:
                yield pk, job, {name: _plain(value) for name, value in zip(one.marks, values, strict=True)}


def _some(pks: list[int]) -> Iterator[list[int]]:
    """A few rows at a time: photos and papers are long."""
    for start in range(0, len(pks), AT_ONCE):
        yield pks[start : start + AT_ONCE]


def _cars(establishment: Establishment, jobs: Sequence[int]) -> Iterator[tuple[int, int, dict[str, Value]]]:
    """Cars of which no job keeps its details, each under its newest job."""
    gone = {*jobs, *hidden(establishment).values_list("job", flat=True)}
    mine = Vehicle.objects.filter(jobs__in=jobs).distinct()
    staying = Job.objects.filter(vehicle__in=mine).exclude(pk__in=gone).values("vehicle")
    newest = dict(
        Job.objects.filter(pk__in=jobs).order_by().values_list("vehicle").annotate(newest=Max("pk"))
    )
    for car in mine.exclude(pk__in=staying):
        yield car.pk, newest[car.pk], {"vin": car.vin, "plate": car.plate, "description": car.description}


def _stays(one: Clearable, name: str, content: Value, pk: int) -> Value:
    """What is left in a column."""
    if name != FACTS or isinstance(content, bytes) or not content:
        return one.marks[name]
    return without_customer(_facts_of(one, pk), content)


def _facts_of(one: Clearable, pk: int) -> Facts:
    if one.model is Document:
        return Facts(Document.objects.values_list("kind", flat=True).get(pk=pk))
    return Facts.CLOSING if one.model is Closing else Facts.SLIP


def _bury(clearing: Clearing, one: Clearable, rows: Sequence[tuple[int, list[Detail]]]) -> None:
    """Put up a tombstone for each detail, and put the detail away under it."""
    stones, held = [], []
    for pk, details in rows:
        for detail in details:
            content, stays, salt = _bytes(detail.content), _bytes(detail.stays), secrets.token_hex(16)
            stone = Tombstone(
                clearing=clearing,
                job_id=detail.job,
                of_table=one.table,
                of_row=pk,
                of_column=detail.column,
                sealed=sealed(salt, content),
                stays_sha256=sha256(stays),
            )
            stones.append(stone)
            held.append(PutAway(tombstone=stone, content=content, stays=stays, salt=salt))
    Tombstone.objects.bulk_create(stones)
    for part in held:
        part.tombstone_id = part.tombstone.pk
    PutAway.objects.bulk_create(held)


def _place(part: PutAway) -> tuple[str, int]:
    return part.tombstone.of_table, part.tombstone.of_row


def _value(one: Clearable, part: PutAway) -> Value:
    content = bytes(part.content)
    return content if isinstance(one.marks[part.tombstone.of_column], bytes) else content.decode()


def _plain(value: Any) -> Value:
    return value if isinstance(value, str) else bytes(value)


def _bytes(value: Value) -> bytes:
    return value.encode() if isinstance(value, str) else value
