"""Stock, people and vehicles from a spreadsheet: looked at first, written as one, or not at all."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from inventory.core.importing import HEADINGS, PersonRow, StockRow, VehicleRow, What
from inventory.models import ContainerType, Import, ImportDraft, ImportedRow
from inventory.services.importing_rows import came_before, read_rows
from inventory.services.opening import OpenCanIn, OpeningIn, open_cabinet
from inventory.services.weighing import TicketIn
from shop.core.canonical import sha256
from shop.core.days import said_day
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.core.table import Table, Trouble, shown
from shop.models import Equipment, Establishment, Person
from shop.services import (
    CardIn,
    PersonIn,
    VehicleIn,
    add_card,
    add_person,
    add_vehicles,
    let_back_in,
)
from shop.services.spreadsheets import read_table

DRAFTS_LAST = timedelta(days=1)
Typed = StockRow | PersonRow | VehicleRow


@dataclass(frozen=True, slots=True)
class Look:
    """A file as it would be written: its good rows with their numbers, its troubled cells, and all its cells."""

    what: What
    rows: tuple[tuple[int, Typed], ...]
    troubles: tuple[Trouble, ...]
    cells: tuple[tuple[int, dict[str, str]], ...]

    @property
    def in_file(self) -> int:
        return len(self.cells)


def look_at(what: What, content: bytes, establishment: Establishment, *, today: date) -> Look:
    """Read a file against the shop's lists and write nothing. Raises ``Refused`` for the whole file, with a sentence
    about the field ``file``; what is wrong in a cell is a ``Trouble``."""
    table: Table = read_table(content, HEADINGS[what])
    rows, troubles = read_rows(what, table, establishment, today)
    every = sorted((*table.troubles, *troubles), key=lambda one: one.row)
    return Look(what, tuple(rows), tuple(every), table.rows)


@transaction.atomic
def keep_draft(
    what: What, file_name: str, content: bytes, establishment: Establishment, *, at: datetime, by: Person
) -> ImportDraft:
    """Keep a file for its preview. It takes the place of the person's earlier one; what nobody wrote in a day goes."""
    ImportDraft.objects.filter(made_at__lt=at - DRAFTS_LAST).delete()
    ImportDraft.objects.filter(by=by).delete()
    return ImportDraft.objects.create(
        establishment=establishment,
        by=by,
        what=what,
        file_name=shown(file_name) or "file",
        content=content,
        sha256=sha256(content),
        made_at=at,
    )


@transaction.atomic
def write_import(draft: ImportDraft, *, today: date, at: datetime, by: Person) -> Import:
    """Write a whole file with the services that write by hand, and remember it as one.

    Read once more against today's lists: refused with anything in trouble, and when this very file is in already.
    """
    house = Establishment.objects.select_for_update(no_key=True).get(pk=draft.establishment_id)
    what, content = What(draft.what), bytes(draft.content)
    look = look_at(what, content, house, today=today)
    refuse_if_blocked([*_troubled(look), *_in_already(draft, house)])
    count, keys = None, []
    if what is What.STOCK:
        stock = _stock([row for _, row in look.rows if isinstance(row, StockRow)])
        count = open_cabinet(stock, house, on=today, at=at, by=by)
    elif what is What.PEOPLE:
        people = [row for _, row in look.rows if isinstance(row, PersonRow)]
        keys = _people(people, house, today, at=at, by=by)
    else:
        cars = [row for _, row in look.rows if isinstance(row, VehicleRow)]
        said = [VehicleIn(one.vin, one.plate, one.description) for one in cars]
        keys = [one.pk for one in add_vehicles(said, house, by=by)]
    made = Import.objects.create(  # after all that it made: what is received later stands on it
        establishment=house,
        what=what,
        file_name=draft.file_name,
        sha256=draft.sha256,
        rows=len(look.rows),
        count=count,
        at=at,
        by=by,
    )
    ImportedRow.objects.bulk_create(
        ImportedRow(made=made, row=number, key=key) for key, (number, _) in zip(keys, look.rows, strict=False)
    )
    ImportDraft.objects.filter(pk=draft.pk).delete()
    return made


def _troubled(look: Look) -> list[Finding]:
    if not look.troubles:
        return []
    sentence = phrase(
        "{number} cells of the file are in trouble. Nothing is written until it has none.",
        number=len(look.troubles),
    )
    return [blocked("import-troubled", sentence)]


def _in_already(draft: ImportDraft, house: Establishment) -> list[Finding]:
    same = Import.objects.filter(
        establishment=house, what=draft.what, sha256=draft.sha256, undone=None
    ).first()
    if same is None:
        return []
    day = said_day(same.at.astimezone(ZoneInfo(house.time_zone)))
    sentence = phrase("This very file is in already, since {day}. Undo that import first.", day=day)
    return [blocked("import-twice", sentence)]


def _stock(rows: list[StockRow]) -> list[OpeningIn | OpenCanIn]:
    kinds = ContainerType.objects.in_bulk({one.kind for one in rows})
    scales = Equipment.objects.in_bulk({one.scale for one in rows if one.scale is not None})
    return [
        OpeningIn(kinds[one.kind], one.cans, one.lot)
        if one.reading is None or one.scale is None
        else OpenCanIn(kinds[one.kind], TicketIn(scales[one.scale], one.reading), one.lot)
        for one in rows
    ]


def _people(
    rows: list[PersonRow], house: Establishment, today: date, *, at: datetime, by: Person
) -> list[int]:
    """Each person, or the one that an undone import of theirs had left behind; without a password until the owner
    gives one."""
    before, keys = came_before(house), []
    for row in rows:
        person = before.get(row.sign_on_name)
        if person is None:
            person = add_person(PersonIn(row.name, row.sign_on_name, row.role, None), house, at=at, by=by)
        else:
            let_back_in(person, row.role, at=at, by=by)
        if row.card is not None and not person.cards.filter(program=row.card[0], number=row.card[1]).exists():
            add_card(person, CardIn(*row.card), today=today, at=at, by=by)
        keys.append(person.pk)
    return keys
