"""A maker's table: its bands as printed, straight lines between them, and no word beyond them.

The figures are bands of a published performance table (an R-134a car of 2010 at idle, recirculating; its maker is not
named here).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.makers_table import (
    Against,
    Band,
    Compared,
    MakersTable,
    Place,
    Quantity,
    RowTyped,
    TableTyped,
    band,
    compared,
    makers_table,
)
from shop.core.gauge import ATMOSPHERE, celsius, in_celsius

VENTS = TableTyped(
    Against.INLET,
    "service information, page 24-31",
    "idle, recirculate",
    "°C",
    "kPa",
    (
        RowTyped("25", "50-60", "8.4-10.9"),
        RowTyped("30", "50-60", "14.5-17.5"),
        RowTyped("25", "60-70", "10.9-13.4"),
        RowTyped("30", "60-70", "17.5-20.5"),
    ),
)
PRESSURES = TableTyped(
    Against.OUTDOOR,
    "service information, page 24-32",
    "idle, recirculate",
    "°C",
    "kPa",
    (
        RowTyped("25", "50-70", "", "1204-1471", "171-209"),
        RowTyped("30", "50-70", "", "1300-1590", ""),
        RowTyped("35", "50-70", "", "1500-1820", "229-280"),
    ),
)


def table(typed: TableTyped) -> MakersTable:
    made, found = makers_table(typed)
    assert made is not None, found
    return made


def vent(degrees: float, at: float, humidity: float | None, u: float = 0.5) -> Compared:
    return compared(table(VENTS), Quantity.VENT, celsius(degrees), u, at=celsius(at), humidity=humidity)


def ends(one: Compared) -> tuple[float, float]:
    assert one.low is not None
    assert one.high is not None
    return in_celsius(one.low), in_celsius(one.high)


@pytest.mark.parametrize(
    ("at", "humidity", "low", "high"),
    [
        (25, 0.55, 8.4, 10.9),  # as printed
        (30, 0.65, 17.5, 20.5),
        (25, 0.51, 8.4, 10.9),  # in the outer half of its band it holds as printed
        (27.5, 0.55, 11.45, 14.2),  # half way in temperature: (8.4 + 14.5)/2, (10.9 + 17.5)/2
        (25, 0.60, 9.65, 12.15),  # half way in humidity: (8.4 + 10.9)/2, (10.9 + 13.4)/2
        (26, 0.58, 10.40, 13.00),  # 0.8 and 0.2 by 0.7 and 0.3, worked by hand from the four rows
    ],
)
def test_between_printed_rows_the_band_lies_on_straight_lines(
    at: float, humidity: float, low: float, high: float
) -> None:
    # last row: low 0.56 x 8.4 + 0.14 x 14.5 + 0.24 x 10.9 + 0.06 x 17.5 = 10.40; high 0.56 x 10.9 + 0.14 x 17.5
    # + 0.24 x 13.4 + 0.06 x 20.5 = 13.00
    assert ends(vent(10, at, humidity)) == pytest.approx((low, high), abs=0.005)


@pytest.mark.parametrize(
    ("degrees", "place"),
    [(9, Place.INSIDE), (8.4, Place.INSIDE), (7.6, Place.EDGE), (11.8, Place.EDGE), (5, Place.OUTSIDE)],
)
def test_a_reading_lies_inside_or_outside_or_too_near_the_edge_to_tell(degrees: float, place: Place) -> None:
    assert vent(degrees, 25, 0.55).place is place


@pytest.mark.parametrize(
    ("at", "humidity", "because"),
    [
        (24.9, 0.55, "outside what the table is printed for"),
        (30.1, 0.55, "outside what the table is printed for"),
        (25, 0.49, "outside what the table is printed for"),
        (25, 0.71, "outside what the table is printed for"),
        (25, None, "the table goes by humidity, which was not read"),
    ],
)
def test_beyond_the_printed_rows_there_is_no_verdict(at: float, humidity: float | None, because: str) -> None:
    one = vent(9, at, humidity)
    assert (one.place, one.because, one.low) == (Place.NONE, because, None)


def test_without_its_air_temperature_a_table_says_nothing() -> None:
    one = compared(table(VENTS), Quantity.VENT, celsius(9), 0.5, at=None, humidity=0.55)
    assert one.because == "the table goes by the air going in, which was not read"


def test_a_row_that_the_maker_left_out_is_not_made_up() -> None:
    ragged = table(replace(VENTS, rows=VENTS.rows[:3]))
    one = compared(ragged, Quantity.VENT, celsius(12), 0.5, at=celsius(27), humidity=0.6)
    assert one.because == "the table has no row for that air"


def test_a_column_goes_by_the_rows_that_print_it() -> None:
    """The low side at 30 °C is not printed: the line runs from 25 to 35."""
    pressures = table(PRESSURES)
    one = compared(pressures, Quantity.LOW_SIDE, 220e3 + ATMOSPHERE, 4e3, at=celsius(30), humidity=0.6)
    assert one.low == pytest.approx((171e3 + 229e3) / 2 + ATMOSPHERE)
    assert one.place is Place.INSIDE


def test_a_table_without_humidity_asks_for_none() -> None:
    dry = replace(PRESSURES, rows=tuple(replace(row, humidity="") for row in PRESSURES.rows))
    one = compared(table(dry), Quantity.HIGH_SIDE, 1400e3 + ATMOSPHERE, 4e3, at=celsius(30), humidity=None)
    assert one.place is Place.INSIDE


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("43-49", 43, 49),
        ("8.4 to 10.9", 8.4, 10.9),
        ("1204..1471", 1204, 1471),
        ("8,4 – 10,9", 8.4, 10.9),
        ("-5 - 5", -5, 5),
        ("25", 25, 25),
    ],
)
def test_a_band_is_read_as_printed(text: str, low: float, high: float) -> None:
    assert band(text) == Band(low, high)


@pytest.mark.parametrize("text", ["", "about 40", "49-43", "40-50-60", "1,204", "40 °F", "12345", "٤٣"])
def test_what_is_no_band_is_not_guessed(text: str) -> None:
    assert band(text) is None


@pytest.mark.parametrize(
    ("changed", "code", "field"),
    [
        ({"source": " "}, "source-empty", "source"),
        ({"rows": ()}, "rows-empty", "temperature_0"),
        ({"rows": (RowTyped("", "", "40-50"),)}, "row-temperature", "temperature_0"),
        ({"rows": (VENTS.rows[0], RowTyped("30", "50-60"))}, "row-empty", "vent_1"),
        ({"rows": (RowTyped("25", "50-60", "warm"),)}, "band-unread", "vent_0"),
        ({"rows": (RowTyped("25", "50-160", "8-9"),)}, "humidity-absurd", "humidity_0"),
        (
            {"rows": (RowTyped("25", "50-60", "8-9"), RowTyped("30", "", "9-12"))},
            "humidity-mixed",
            "humidity_0",
        ),
        ({"rows": (VENTS.rows[0], VENTS.rows[0])}, "row-twice", "temperature_0"),
        ({"rows": VENTS.rows * 11}, "rows-empty", "temperature_0"),
    ],
)
def test_a_table_that_cannot_be_used_says_where(changed: dict[str, object], code: str, field: str) -> None:
    made, found = makers_table(replace(VENTS, **changed))  # type: ignore[arg-type]
    assert made is None
    assert (code, field) in {(one.code, one.field) for one in found}


@given(at=st.floats(25, 30), humidity=st.floats(0.5, 0.7))
def test_an_interpolated_band_never_leaves_the_printed_ones(at: float, humidity: float) -> None:
    low, high = ends(vent(10, at, humidity))
    assert 8.4 - 1e-9 <= low <= high <= 20.5 + 1e-9


@given(at=st.floats(-60, 90), humidity=st.floats(0, 1), degrees=st.floats(-40, 80))
def test_every_reading_gets_a_place_or_a_reason(at: float, humidity: float, degrees: float) -> None:
    one = vent(degrees, at, humidity)
    assert (one.place is Place.NONE) == bool(one.because)


@given(st.text(max_size=20))
def test_no_text_in_a_column_breaks_a_table(text: str) -> None:
    made, found = makers_table(replace(VENTS, rows=(RowTyped(text, text, text, text, text),)))
    assert (made is None) == bool(found)
