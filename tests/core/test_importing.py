"""Rows of people and vehicles: what is said of each cell. (Stock: tests/inventory/test_importing_large.py.)"""

from __future__ import annotations

from datetime import date

import pytest

from inventory.core.importing import HEADINGS, PersonRow, VehicleRow, What, doubled, person_row, vehicle_row
from shop.core.table import Cells

CAR = {"plate": "smp-418", "state": "co", "vin": "", "year": "2014", "make": "blue", "model": "hatchback"}
VIN = "1M8GDM9AXKP042788"  # 49 CFR 565.15(c)'s way of reckoning gives X for its ninth place
PERSON = {
    "name": "Sam Ortega",
    "sign_on_name": "sam",
    "role": "Technician",
    "card_program": "Sample Program",
    "card_number": "SAMPLE-1",
    "card_issued_on": "2020-05-04",
}


def test_a_vehicle_is_its_plate_or_vin_and_what_it_is_in_words() -> None:
    assert vehicle_row(Cells(2, CAR), 2026) == VehicleRow("", "SMP-418", "2014 blue hatchback, plate CO")
    fleet = {"vin": VIN.lower(), "make": "bus", "unit_number": "12"}
    assert vehicle_row(Cells(2, fleet), 2026) == VehicleRow(VIN, "", "bus, unit 12")


@pytest.mark.parametrize(
    ("changed", "column", "word"),
    [
        ({"plate": ""}, "plate", "VIN or the plate"),
        ({"plate": "A" * 13}, "plate", "longer than 12"),
        ({"vin": "1M8GDM9A1KP042788"}, "vin", "check digit"),
        ({"vin": "1M8GDM9AXKPO42788"}, "vin", "perhaps 0"),
        ({"vin": "123"}, "vin", "3 characters"),
        ({"state": "Colorado"}, "state", "two letters"),
        ({"year": "14"}, "year", "four digits"),
        ({"year": "2028"}, "year", "four digits"),
        ({"year": "", "make": "", "model": ""}, "make", "what it is"),
        ({"make": "m" * 40, "model": "n" * 40}, "model", "more than 80"),
        ({"vin_as_on_car": "maybe"}, "vin_as_on_car", "yes, no"),
    ],
)
def test_what_cannot_be_taken_of_a_vehicle_stands_on_its_cell(
    changed: dict[str, str], column: str, word: str
) -> None:
    row = Cells(7, CAR | changed)
    assert vehicle_row(row, 2026) is None
    assert [(one.row, one.column) for one in row.troubles] == [(7, column)]
    assert word in row.troubles[0].message


def test_a_vin_that_looks_wrong_is_kept_when_the_file_says_that_it_stands_on_the_car() -> None:
    car = vehicle_row(Cells(2, CAR | {"vin": "123", "vin_as_on_car": "yes"}), 2026)
    assert car is not None
    assert car.vin == "123"


def test_a_person_has_a_whole_card_or_none() -> None:
    card = ("Sample Program", "SAMPLE-1", date(2020, 5, 4), "Sam Ortega")
    assert person_row(Cells(2, PERSON)) == PersonRow("Sam Ortega", "sam", "technician", card)
    none = {"card_program": "", "card_number": "", "card_issued_on": ""}
    assert person_row(Cells(2, PERSON | none)) == PersonRow("Sam Ortega", "sam", "technician", None)


@pytest.mark.parametrize(
    ("changed", "column", "word"),
    [
        ({"name": ""}, "name", "is empty"),
        ({"sign_on_name": "Sam"}, "sign_on_name", "small letters"),
        ({"role": "boss"}, "role", "front office, technician, owner"),
        ({"card_program": ""}, "card_program", "Fill this"),
        ({"card_number": ""}, "card_number", "Fill this"),
        ({"card_issued_on": ""}, "card_issued_on", "Fill this"),
        ({"card_issued_on": "5/4/2020"}, "card_issued_on", "year-month-day"),
        ({"card_issued_on": "2020-02-30"}, "card_issued_on", "year-month-day"),
    ],
)
def test_what_cannot_be_taken_of_a_person_stands_on_its_cell(
    changed: dict[str, str], column: str, word: str
) -> None:
    row = Cells(3, PERSON | changed)
    assert person_row(row) is None
    assert [(one.row, one.column) for one in row.troubles] == [(3, column)]
    assert word in row.troubles[0].message.replace("Use small", "small")


def test_a_word_that_stood_before_is_marked_with_the_row_where_it_stood() -> None:
    first, second = Cells(2, {"plate": "SMP-1"}), Cells(9, {"plate": "smp-1"})
    doubled([(first, "SMP-1"), (second, "smp-1")], "plate", lambda row: f"in row {row} too")
    assert first.troubles == []
    assert [(one.row, one.text, one.message) for one in second.troubles] == [(9, "smp-1", "in row 2 too")]


@pytest.mark.parametrize("what", What)
def test_no_heading_stands_twice_in_a_template(what: What) -> None:
    names = [one.name for one in HEADINGS[what]]
    assert len(set(names)) == len(names)
