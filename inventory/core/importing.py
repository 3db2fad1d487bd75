"""Rows of a spreadsheet as what they say of stock, people or vehicles. Nothing is guessed: what cannot be read is a
trouble of its cell."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from inventory.core.weighing import CanKind, Style, Ticket, ticket_problems
from shop.core.mass import Mass, Reading, Unit
from shop.core.phrase import phrase
from shop.core.reading import read_mass, unit_named
from shop.core.roles import ROLES
from shop.core.table import Cells, Heading
from shop.core.vin import normalised, vin_problems

MOST_CANS = 10_000  # of one import
NAME = re.compile(r"[a-z][a-z0-9.-]*", re.ASCII)
STATE = re.compile(r"[A-Za-z]{2}", re.ASCII)


class What(StrEnum):
    """What can be brought in."""

    STOCK = "opening-stock"
    PEOPLE = "people"
    VEHICLES = "vehicles"


TITLES = {
    What.STOCK: phrase("Opening stock"),
    What.PEOPLE: phrase("People and their 609 cards"),
    What.VEHICLES: phrase("Vehicles"),
}
HEADINGS: dict[What, tuple[Heading, ...]] = {
    What.STOCK: (
        Heading("refrigerant", phrase("as on the list of kinds of can"), "R-134a"),
        Heading("kind", phrase("the kind of can, by the name that the shop gave it"), "12-oz can"),
        Heading("state", phrase("sealed or open"), "sealed"),
        Heading("cans", phrase("how many sealed cans; 1 or empty for an open one"), "14"),
        Heading("lot", phrase("as printed; may be empty"), "L24B-07", needed=False),
        Heading("gross", phrase("what the scale shows for an open can, bare; empty for sealed ones"), "295"),
        Heading("unit", phrase("the unit of the scale: g, oz, lb, kg or lb+oz"), "g"),
        Heading("scale", phrase("the scale's code in this shop"), "SC-1"),
    ),
    What.PEOPLE: (
        Heading("name", phrase("as on the 609 card"), "Dev Larkin"),
        Heading("sign_on_name", phrase("small letters, digits, dots and dashes"), "dev"),
        Heading("role", phrase("front office, technician or owner"), "technician"),
        Heading("card_program", phrase("who issued the 609 card; empty without a card"), "Sample Program"),
        Heading("card_number", phrase("its number"), "SAMPLE-7741"),
        Heading("card_issued_on", phrase("its day, year-month-day"), "2019-03-12"),
        Heading("name_on_card", phrase("when it differs from the name"), "", needed=False),
    ),
    What.VEHICLES: (
        Heading("plate", phrase("the plate; may be empty when there is a VIN"), "SMP-418"),
        Heading("state", phrase("two letters; may be empty"), "CO", needed=False),
        Heading("vin", phrase("the VIN; may be empty when there is a plate"), ""),
        Heading("year", phrase("four digits; may be empty"), "2014", needed=False),
        Heading("make", phrase("in the shop's words"), "blue"),
        Heading("model", phrase("in the shop's words; may be empty"), "hatchback", needed=False),
        Heading("unit_number", phrase("the fleet's number; may be empty"), "12", needed=False),
        Heading("vin_as_on_car", phrase("yes keeps a VIN that looks wrong"), "", needed=False),
    ),
}


@dataclass(frozen=True, slots=True)
class KindFact:
    """A kind of can that is on the list."""

    key: int
    kind: CanKind


@dataclass(frozen=True, slots=True)
class ScaleFact:
    """A scale in service."""

    key: int
    unit: Unit
    division: Mass


@dataclass(frozen=True, slots=True)
class StockRow:
    kind: int
    cans: int
    lot: str
    reading: Reading | None = None
    scale: int | None = None


@dataclass(frozen=True, slots=True)
class PersonRow:
    name: str
    sign_on_name: str
    role: str
    card: tuple[str, str, date, str] | None


@dataclass(frozen=True, slots=True)
class VehicleRow:
    vin: str
    plate: str
    description: str


def stock_row(
    row: Cells, kinds: Mapping[tuple[str, str], KindFact], scales: Mapping[str, ScaleFact]
) -> StockRow | None:
    """Sealed cans of one kind, or one open can with its weight."""
    kind = _kind(row, kinds)
    state = row.one_of("state", ("sealed", "open"))
    lot = row.text("lot", 40)
    if not state:  # what the other cells should hold hangs on it
        return None
    if state == "sealed":
        for column in ("gross", "unit", "scale"):
            if row.text(column, 40):
                row.trouble(column, phrase("A sealed can is taken by its label. Empty this cell."))
        cans = row.whole("cans", 1, 500)
        return None if row.troubles or kind is None or cans is None else StockRow(kind.key, cans, lot)
    if row.text("cans", 40) not in ("", "1"):
        row.trouble("cans", phrase("An open can has a row of its own. Type 1, or leave this empty."))
    scale = _scale(row, scales)
    reading = _reading(row, scale, kind)
    if row.troubles or kind is None or scale is None:
        return None
    return StockRow(kind.key, 1, lot, reading, scale.key)


def _kind(row: Cells, kinds: Mapping[tuple[str, str], KindFact]) -> KindFact | None:
    gas, name = row.text("refrigerant", 12, needed=True), row.text("kind", 40, needed=True)
    if not gas or not name:
        return None
    if not any(known == gas.lower() for known, _ in kinds):
        row.trouble("refrigerant", phrase("No kind of can on the list is of this refrigerant."))
        return None
    found = kinds.get((gas.lower(), name.lower()))
    if found is None:
        row.trouble("kind", phrase("No kind of can of {gas} has this name. Describe it first.", gas=gas))
    return found


def _scale(row: Cells, scales: Mapping[str, ScaleFact]) -> ScaleFact | None:
    code = row.text("scale", 40, needed=True)
    found = scales.get(code.lower())
    if code and found is None:
        row.trouble("scale", phrase("No scale in service has this code."))
    return found


def _reading(row: Cells, scale: ScaleFact | None, kind: KindFact | None) -> Reading | None:
    typed, unit_text = row.text("gross", 40, needed=True), row.text("unit", 40, needed=True)
    unit, found = unit_named(unit_text) if unit_text else (None, [])
    for one in found:
        row.trouble("unit", one.message)
    if scale is None or unit is None or not typed:
        return None
    if unit is not scale.unit:
        row.trouble("unit", phrase("This scale shows {unit}. Type what it shows.", unit=scale.unit))
        return None
    reading, found = read_mass(typed, unit, division=scale.division, field="gross")
    if reading is not None and kind is not None:
        ticket = Ticket(reading, scale.division, Style.BARE)
        found = ticket_problems(
            ticket,
            kind=kind.kind,
            can=phrase("this can"),
            previous=None,
            sealed=False,
            first_in_job=True,
            field="gross",
        )
    for one in found:
        if one.blocks:
            row.trouble("gross", one.message)
    return reading


def person_row(row: Cells) -> PersonRow | None:
    """Somebody with or without a 609 card. Whether the name or the card is taken, the books say."""
    name = row.text("name", 80, needed=True)
    sign_on = row.text("sign_on_name", 40, needed=True)
    if sign_on and not NAME.fullmatch(sign_on):
        row.trouble(
            "sign_on_name", phrase("Use small letters, digits, dots and dashes; begin with a letter.")
        )
    role = row.one_of("role", ROLES)
    program, number = row.text("card_program", 120), row.text("card_number", 60)
    issued, on_card = row.day("card_issued_on"), row.text("name_on_card", 80)
    card = None
    if any(row.cells.get(one) for one in ("card_program", "card_number", "card_issued_on")):
        for column in ("card_program", "card_number", "card_issued_on"):
            if not row.cells.get(column):
                row.trouble(
                    column, phrase("A card has a program, a number and a day. Fill this, or leave all empty.")
                )
        if issued is not None:
            card = (program, number, issued, on_card or name)
    return None if row.troubles else PersonRow(name, sign_on, role, card)


def vehicle_row(row: Cells, this_year: int) -> VehicleRow | None:
    """A car by VIN or plate, with what it is in words."""
    plate, vin = row.text("plate", 12).upper(), normalised(row.text("vin", 20))
    if not row.cells.get("plate") and not row.cells.get("vin"):
        row.trouble("plate", phrase("Type the VIN or the plate, so that the car can be found again."))
    keeps = row.one_of("vin_as_on_car", ("yes", "no"), needed=False) == "yes"
    for one in [] if keeps else vin_problems(vin)[:1]:
        row.trouble("vin", phrase("{problem} To keep it, type yes under vin_as_on_car.", problem=one.message))
    state, year = row.text("state", 20), row.text("year", 20)
    if state and not STATE.fullmatch(state):
        row.trouble("state", phrase("Type the state in two letters."))
    if year and not (year.isdecimal() and year.isascii() and 1900 <= int(year) <= this_year + 1):
        row.trouble("year", phrase("Type the year in four digits."))
    words = [year, row.text("make", 40), row.text("model", 40)]
    unit = row.text("unit_number", 20)
    said = " ".join(one for one in words if one)
    if not said and not row.troubles:
        row.trouble("make", phrase("Say what it is: year, kind, colour."))
    description = said + (f", unit {unit}" if unit else "") + (f", plate {state.upper()}" if state else "")
    if len(description) > 80:
        row.trouble("model", phrase("Year, make, model and unit have more than 80 characters together."))
    return None if row.troubles else VehicleRow(vin, plate, description)


def doubled(rows: Iterable[tuple[Cells, str]], column: str, message: Callable[[int], str]) -> None:
    """Mark each row whose word (in any case) stood in an earlier one; ``message`` names that row."""
    first: dict[str, int] = {}
    for row, word in rows:
        if word and first.setdefault(word.casefold(), row.number) != row.number:
            row.trouble(column, message(first[word.casefold()]))
