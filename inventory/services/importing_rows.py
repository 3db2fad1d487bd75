"""The rows of an import held against the shop's lists: what is known, what is there twice."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from inventory.core.importing import (
    MOST_CANS,
    KindFact,
    PersonRow,
    ScaleFact,
    StockRow,
    VehicleRow,
    What,
    doubled,
    person_row,
    stock_row,
    vehicle_row,
)
from inventory.core.weighing import CanKind
from inventory.models import ImportedRow
from inventory.queries import container_types
from shop.core.findings import Finding
from shop.core.mass import Unit
from shop.core.phrase import phrase
from shop.core.table import Cells, Table, Trouble
from shop.models import Equipment, Establishment, Person, Vehicle
from shop.queries import in_service
from shop.services import CardIn, PersonIn
from shop.services.cards import card_problems
from shop.services.people import person_problems

MOST_PEOPLE = 500
Typed = StockRow | PersonRow | VehicleRow
Read = list[tuple[Cells, Typed | None]]
CARD_COLUMNS = {"program": "card_program", "number": "card_number", "issued_on": "card_issued_on"}
PERSON_COLUMNS = {"username": "sign_on_name"}


def read_rows(
    what: What, table: Table, house: Establishment, today: date
) -> tuple[list[tuple[int, Typed]], list[Trouble]]:
    """The rows that can be taken, with their numbers, and every trouble of the others."""
    cells = [Cells(number, row) for number, row in table.rows]
    reads = {What.STOCK: _stock, What.PEOPLE: _people, What.VEHICLES: _vehicles}[what](cells, house, today)
    good = [(row.number, typed) for row, typed in reads if typed is not None and not row.troubles]
    return good, [one for row, _ in reads for one in row.troubles]


def _stock(cells: list[Cells], house: Establishment, today: date) -> Read:
    kinds = {
        (kind.refrigerant_id.lower(), kind.name.lower()): KindFact(
            kind.pk, CanKind(kind.net, kind.shell, float(kind.shell_spread_g))
        )
        for kind in container_types()
    }
    scales = {
        one.code.lower(): ScaleFact(one.pk, Unit(one.unit), one.division)
        for one in in_service(house, today, Equipment.Kind.SCALE)
    }
    reads: Read = []
    cans = 0
    for row in cells:
        typed = stock_row(row, kinds, scales)
        cans += typed.cans if typed is not None else 0
        if typed is not None and cans > MOST_CANS >= cans - typed.cans:
            row.trouble(
                "cans",
                phrase("One file brings at most {most} cans. Send it in parts.", most=f"{MOST_CANS:,}"),
            )
        reads.append((row, typed))
    return reads


def _vehicles(cells: list[Cells], house: Establishment, today: date) -> Read:
    known = list(Vehicle.objects.filter(establishment=house).values_list("vin", "plate"))
    vins = {vin for vin, _ in known if vin}
    plates, bare = (
        {plate for _, plate in known if plate},
        {plate for vin, plate in known if plate and not vin},
    )
    reads: list[tuple[Cells, VehicleRow | None]] = [(row, vehicle_row(row, today.year)) for row in cells]
    for row, car in reads:
        if car is not None and car.vin in vins:
            row.trouble("vin", phrase("A car with this VIN is on file. Take this row out."))
        elif car is not None and car.plate in (bare if car.vin else plates):
            row.trouble("plate", phrase("A car with this plate is on file. Take this row out."))
    there = [(row, car) for row, car in reads if car is not None]
    doubled(((row, car.vin) for row, car in there), "vin", _same("This VIN"))
    doubled(((row, car.plate) for row, car in there), "plate", _same("This plate"))
    return [(row, car) for row, car in reads]


def _people(cells: list[Cells], house: Establishment, today: date) -> Read:
    before = came_before(house)
    reads: list[tuple[Cells, PersonRow | None]] = []
    for place, row in enumerate(cells):
        person = person_row(row)
        if place == MOST_PEOPLE:
            row.trouble("name", phrase("One file brings at most {most} people.", most=MOST_PEOPLE))
        if person is not None and place < MOST_PEOPLE:
            _against_the_list(row, person, before.get(person.sign_on_name), today)
        reads.append((row, person))
    there = [(row, one) for row, one in reads if one is not None]
    doubled(((row, one.sign_on_name) for row, one in there), "sign_on_name", _same("This sign-on name"))
    cards = ((row, "\n".join(one.card[:2])) for row, one in there if one.card is not None)
    doubled(cards, "card_number", _same("This card"))
    return [(row, person) for row, person in reads]


def _against_the_list(row: Cells, person: PersonRow, back: Person | None, today: date) -> None:
    """What the services would say of this person and card. Somebody whom an undone import left behind may come back
    under the same name and with the same card."""
    if back is None:
        said = PersonIn(person.name, person.sign_on_name, person.role, None)
        _said(row, person_problems(said), PERSON_COLUMNS)
    elif back.name.casefold() != person.name.casefold():
        row.trouble("name", phrase("This sign-on name was that of {name}. Choose another.", name=back.name))
    if person.card is None:
        return
    program, number, issued, _ = person.card
    if back is not None and back.cards.filter(program=program, number=number, issued_on=issued).exists():
        return
    _said(row, card_problems(CardIn(*person.card), today), CARD_COLUMNS)


def _said(row: Cells, found: Iterable[Finding], columns: dict[str, str]) -> None:
    for one in found:
        row.trouble(columns.get(one.field, one.field), one.message)


def came_before(house: Establishment) -> dict[str, Person]:
    """People of undone imports who are out, by sign-on name. Their rows and cards are final, so they come back."""
    undone = ImportedRow.objects.filter(
        made__establishment=house, made__what=What.PEOPLE, made__undone__isnull=False
    )
    gone = Person.objects.filter(pk__in=undone.values("key"), establishment=house, is_active=False)
    return {one.username: one for one in gone}


class _same:  # noqa: N801 - reads as a sentence
    """The sentence about a word that stood in an earlier row."""

    def __init__(self, what: str) -> None:
        self.what = what

    def __call__(self, row: int) -> str:
        return phrase("{what} stands in row {row} too. Leave one of them.", what=self.what, row=row)
