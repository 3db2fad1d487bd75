"""The archive of old records: exactly those that nothing keeps any more, as lists, rows of tables, and files."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from functools import cache
from typing import Any, TypeVar

from django.db import models
from django.db.models import Q, QuerySet

from compliance.core.old import Old, OldKind
from compliance.core.packs.stacking import Kept
from compliance.models import (
    CanTicket,
    CaseFile,
    Certificate,
    Closing,
    Document,
    Job,
    Link,
    Package,
    Photo,
    Recovery,
    ShipmentRecord,
    StatementProof,
)
from compliance.queries.old_records import keeping
from compliance.sheets.files import (
    Files,
    card_files,
    csv_file,
    earlier_files,
    paper_files,
    photo_files,
    proof_files,
    slip_files,
)
from compliance.sheets.jobs import jobs_sheet, papers_sheet, photos_sheet
from compliance.sheets.tables import kept_tables, table_sheet
from inventory.models import Attachment, Delivery, EarlierPaper, Shipment, WeighTicket
from shop.core.sheet import Sheet, columns, readme
from shop.models import Card, CardImage, Establishment, Vehicle
from shop.sheets import clock

Model = type[models.Model]
Row = TypeVar("Row", bound=models.Model)
SEEDS: dict[OldKind, Model] = {
    OldKind.JOB: Job,
    OldKind.REPORT: Document,
    OldKind.DELIVERY: Delivery,
    OldKind.SHIPMENT: Shipment,
    OldKind.CARD: Card,
    OldKind.STATEMENT: Document,
    OldKind.EARLIER: EarlierPaper,
}
KEY_ONLY = (Vehicle, Link)  # what points at these may belong to a newer job
README = """{shop}: archive of old records, as of {at}.

It holds {count} records that are past the time for which they have to be kept, that are not on hold, and that no newer
record stands on. lists/old-records.csv names each of them, the day its years were counted from and its last day. They
are still in Tarebook too: an archive takes nothing away. The refrigerant book is not in here; it stays whole.

lists/     the records as a person reads them, CSV
tables/    their rows as the program keeps them, CSV; columns that end in _id name rows of other tables
papers/    every version of their papers, PDF, byte for byte as signed
photos/    slips/  earlier/  cards/  proofs/   pictures and scans that belong to them

CSV is UTF-8 with a byte order mark, comma and double quotes (RFC 4180). Masses are exact grams. MANIFEST.sha256 holds
the SHA-256 of every other file; check with: sha256sum -c MANIFEST.sha256

{lists}"""


def archive_files(establishment: Establishment, records: Sequence[Old], at: datetime) -> Files:
    """(path, pieces) of every file but the manifest."""
    held = _Held(records)
    papers, jobs = held.rows(Document), held.rows(Job)
    lists = [old_records_sheet(establishment, records, clock(establishment, at).date())]
    lists += [jobs_sheet(establishment, jobs), papers_sheet(establishment, papers)]
    lists += [photos_sheet(establishment, held.of(Photo, "job", Job))]
    shown = clock(establishment, at).isoformat(" ", "minutes")
    told = README.format(shop=establishment.name, at=shown, count=len(records), lists=readme(lists))
    yield "README.txt", [told.encode()]
    for sheet in lists:
        yield csv_file(sheet)
    for model in kept_tables():
        if parts := list(held.parts(model)):
            yield csv_file(table_sheet(model, parts), "tables")
    yield from paper_files(papers)
    yield from photo_files(held.of(Photo, "job", Job))
    yield from slip_files(held.of(Attachment, "delivery", Delivery))
    yield from earlier_files(held.rows(EarlierPaper))
    yield from card_files(held.of(CardImage, "card", Card))
    yield from proof_files(StatementProof.objects.filter(sent__document__in=held.rows(Document)))


def old_records_sheet(establishment: Establishment, records: Sequence[Old], day: date) -> Sheet:
    """Records past their time on a day, each with what counts its years and what still keeps it."""
    kept = keeping(establishment, day)
    return Sheet(
        "old-records",
        "Records past the time for which they have to be kept.",
        columns(
            ("kind", "of record"),
            ("number", "its own"),
            ("counted_from", "day that its years are counted from"),
            ("years", "for which it is kept at least"),
            ("asked_by", "who asks for the longest time"),
            ("cite", "where that is written; empty for a shop rule"),
            ("last_day", "on which it had to be there"),
            ("on_hold", "yes or no"),
            ("needed_by", "what still stands on it"),
            ("in_an_archive", "yes when an archive already holds it"),
            ("cleared", "yes when what names its customer is put away or gone"),
        ),
        (
            (
                *(one.kind.value, one.key, one.anchor, kept[one.kind].years),
                *_asked(kept[one.kind]),
                *(one.last_day, one.held, str(one.needed_by), one.archived, one.cleared),
            )
            for one in records
        ),
    )


def _asked(kept: Kept) -> tuple[str, str]:
    return (str(kept.layer.asked_by), kept.layer.rule.cite) if kept.layer else ("Shop rule", "")


def packages_sheet(establishment: Establishment) -> Sheet:
    """Every archive, monthly copy and hand-over pack that was made."""
    rows = Package.objects.filter(establishment=establishment).order_by("pk").select_related("by", "sale")
    return Sheet(
        "packages",
        "Archives of old records, monthly copies and hand-over packs that were made.",
        columns(
            ("kind", "archive, monthly copy or hand-over pack"),
            ("day", "reckoned for that day; a copy's month; the day of a sale"),
            ("files", "how many"),
            ("sha256", "of the ZIP; empty when a folder was written"),
            ("manifest_sha256", "of its list of hashes"),
            ("buyer", "of a hand-over pack"),
            ("customers", "yes when customers' details are in a hand-over pack"),
            ("made_by", "who"),
            ("made_at", "when, on the shop's clock"),
        ),
        (
            (
                *(one.kind, one.day, one.files, one.sha256, one.manifest_sha256),
                *((one.sale.buyer, one.sale.with_customers) if hasattr(one, "sale") else (None, None)),
                *(one.by.name, clock(establishment, one.at)),
            )
            for one in rows
        ),
    )


class _Held:
    """The records of an archive as rows, and the rows of other tables that belong to them."""

    def __init__(self, records: Sequence[Old]) -> None:
        self.pks: dict[Model, list[int]] = {}
        for one in records:
            self.pks.setdefault(SEEDS[one.kind], []).append(one.pk)
        self.pks[Document] = sorted({*self.pks.get(Document, ()), *self._papers()})
        tickets = self._keys(CanTicket, "job", Job, "ticket")
        for side in ("before", "after"):
            tickets += self._keys(Recovery, "stage__job", Job, side)
        self.pks[WeighTicket] = sorted(set(tickets))
        self.pks[Vehicle] = self._keys(Job, "pk", Job, "vehicle")
        links = [*self._keys(Closing, "job", Job, "link"), *self._keys(Document, "pk", Document, "link")]
        self.pks[Link] = sorted(set(links))

    def rows(self, model: type[Row]) -> QuerySet[Row]:
        return self.of(model, "pk", model)

    def of(self, model: type[Row], way: str, seed: Model) -> QuerySet[Row]:
        """Rows that a key leads from to one of the records."""
        return model._default_manager.filter(**{f"{way}__in": self.pks.get(seed, [])})

    def parts(self, model: Model) -> Iterator[QuerySet[Any]]:
        """The rows of a table that belong to the records: a record itself, or what points at one."""
        done: list[Q] = []
        for seed, pks in self.pks.items():
            way = "pk" if seed is model else way_to(model, seed)
            other = seed is not model and (model in self.pks or seed in KEY_ONLY)
            if way and pks and not other:
                found = Q(**{f"{way}__in": pks})
                rows = model._default_manager.filter(found)
                for before in done:
                    rows = rows.exclude(before)
                done.append(found)
                if rows.exists():
                    yield rows

    def _papers(self) -> list[int]:
        return [
            *self._keys(Certificate, "closing__job", Job, "document"),
            *self._keys(CaseFile, "job", Job, "document"),
            *self._keys(ShipmentRecord, "shipment", Shipment, "document"),
        ]

    def _keys(self, model: Model, way: str, seed: Model, key: str) -> list[int]:
        rows = model._default_manager.filter(**{f"{way}__in": self.pks.get(seed, [])})
        return sorted(set(rows.order_by().values_list(key, flat=True)))


@cache
def way_to(model: Model, seed: Model, depth: int = 4) -> str:
    """The shortest chain of keys, none of them empty, that leads from a table to the records; who signed is no way."""
    keys: list[Any] = [
        field
        for field in model._meta.concrete_fields
        if field.is_relation and not field.null and field.name != "by" and field.related_model is not model
    ]
    if any(field.related_model is seed for field in keys):
        return next(str(field.name) for field in keys if field.related_model is seed)
    further = [(str(field.name), way_to(field.related_model, seed, depth - 1)) for field in keys if depth > 1]
    ways = [f"{name}__{way}" for name, way in further if way]
    return min(ways, key=lambda way: (way.count("__"), way), default="")
