"""A maker's performance table for one vehicle, as the shop typed it, and whether readings lie inside its bands.

Between two printed rows the band is interpolated, straight in temperature and in humidity (bilinear). Nothing is
extrapolated: outside the table, or where it has no row, there is no verdict. A maker prints gauge pressures; they are
taken as read at sea level and compared as absolute pressures, so that a shop at height is not misled.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from shop.core.findings import Finding, blocked
from shop.core.gauge import ATMOSPHERE, PRESSURE_UNITS, celsius, fahrenheit
from shop.core.phrase import phrase

NUMBER = r"[-−]?\d{1,4}(?:\.\d{1,2}|,\d{1,2})?"
BAND = re.compile(rf"(?P<low>{NUMBER})(?:\s*(?:-|–|—|\.\.+|to|a)\s*(?P<high>{NUMBER}))?", re.ASCII)
MOST_ROWS = 40


class Against(StrEnum):
    """Which temperature a maker's rows go by."""

    INLET = phrase("air going in")
    OUTDOOR = phrase("outdoor air")


class Quantity(StrEnum):
    VENT = phrase("Vent")
    HIGH_SIDE = phrase("High side")
    LOW_SIDE = phrase("Low side")


class Place(StrEnum):
    """Where a reading lies. ``EDGE``: outside the band by less than the reading may be off."""

    INSIDE = phrase("inside the maker's band")
    OUTSIDE = phrase("outside the maker's band")
    EDGE = phrase("at the edge of the maker's band")
    NONE = phrase("no verdict")


@dataclass(frozen=True, slots=True, order=True)
class Band:
    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


ANY_HUMIDITY = Band(0.0, 1.0)  # of a table that prints none


@dataclass(frozen=True, slots=True)
class RowTyped:
    """One row as typed: "20" or "20-25" in each column, "" where the maker prints nothing."""

    temperature: str
    humidity: str = ""
    vent: str = ""
    high_side: str = ""
    low_side: str = ""

    def text_of(self, quantity: Quantity) -> str:
        return {
            Quantity.VENT: self.vent,
            Quantity.HIGH_SIDE: self.high_side,
            Quantity.LOW_SIDE: self.low_side,
        }[quantity]


@dataclass(frozen=True, slots=True)
class TableTyped:
    """``source`` is whose table it is, as the technician names it; ``run_as`` how the maker says to run the car."""

    against: Against
    source: str
    run_as: str
    temperature_unit: str  # "°F" or "°C"
    pressure_unit: str  # "psi", "kPa" or "bar"
    rows: tuple[RowTyped, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """K, 0 to 1, and for each quantity K or Pa absolute at sea level."""

    temperature: Band
    humidity: Band | None
    bands: Mapping[Quantity, Band]


@dataclass(frozen=True, slots=True)
class MakersTable:
    typed: TableTyped
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """One reading against the table. ``low`` and ``high`` are the interpolated band; None with ``because`` when there
    is no verdict. Same units as the reading (K, Pa absolute)."""

    quantity: Quantity
    value: float
    place: Place
    low: float | None = None
    high: float | None = None
    because: str = ""


def band(text: str) -> Band | None:
    """A printed band, "8.4-10.9" or "1204 to 1471", or one number; None when it is neither or runs backwards."""
    match = BAND.fullmatch(text.strip())
    if match is None:
        return None
    low, high = (
        float((match[name] or match["low"]).replace("−", "-").replace(",", ".")) for name in ("low", "high")
    )
    return Band(low, high) if low <= high else None


def makers_table(typed: TableTyped) -> tuple[MakersTable | None, list[Finding]]:
    """The table, or what is wrong with it; a finding's field is a column's name and the row's number from 0."""
    found: list[Finding] = []
    if len(typed.source.strip()) < 3:
        found.append(
            blocked("source-empty", phrase("Say whose table it is and where you read it."), "source")
        )
    if not typed.rows or len(typed.rows) > MOST_ROWS:
        sentence = phrase("Type at least one row of the table, at most {most}.", most=MOST_ROWS)
        found.append(blocked("rows-empty", sentence, "temperature_0"))
    rows = tuple(_row(typed, number, one, found) for number, one in enumerate(typed.rows))
    with_humidity = [row for row in rows if row.humidity is not None]
    if with_humidity and len(with_humidity) < len(rows):
        sentence = phrase("Either every row has a humidity or none has. Fill in what is missing.")
        found.append(blocked("humidity-mixed", sentence, "humidity_0"))
    places = [(row.temperature, row.humidity) for row in rows]
    if len(set(places)) < len(places) and not found:
        sentence = phrase("Two rows are for the same temperature and humidity. Keep one.")
        found.append(blocked("row-twice", sentence, "temperature_0"))
    return (None, found) if found else (MakersTable(typed, rows), [])


def _row(typed: TableTyped, number: int, row: RowTyped, found: list[Finding]) -> Row:
    columns = ("temperature", "humidity", "vent", "high_side", "low_side")
    read = {name: band(getattr(row, name)) for name in columns if getattr(row, name).strip()}
    for name, one in read.items():
        if one is None:
            sentence = phrase(
                "“{text}” is no band. Type it as printed, for example 43-49.", text=getattr(row, name)
            )
            found.append(blocked("band-unread", sentence, f"{name}_{number}"))
    if "temperature" not in read:
        found.append(
            blocked("row-temperature", phrase("A row needs its air temperature."), f"temperature_{number}")
        )
    if not {"vent", "high_side", "low_side"} & set(read):
        sentence = phrase("A row needs at least one band: vent, high side or low side.")
        found.append(blocked("row-empty", sentence, f"vent_{number}"))
    humidity = read.get("humidity")
    if humidity is not None and not 0 <= humidity.low <= humidity.high <= 100:
        found.append(blocked("humidity-absurd", phrase("Humidity is 0 to 100 %."), f"humidity_{number}"))
    bands = {
        quantity: _converted(typed, quantity, one)
        for quantity, name in _COLUMNS.items()
        if (one := read.get(name)) is not None
    }
    temperature = _kelvin(typed, read.get("temperature") or Band(0, 0))
    return Row(temperature, Band(humidity.low / 100, humidity.high / 100) if humidity else None, bands)


_COLUMNS = {Quantity.VENT: "vent", Quantity.HIGH_SIDE: "high_side", Quantity.LOW_SIDE: "low_side"}


def _kelvin(typed: TableTyped, one: Band) -> Band:
    turn = fahrenheit if typed.temperature_unit == "°F" else celsius
    return Band(turn(one.low), turn(one.high))


def _converted(typed: TableTyped, quantity: Quantity, one: Band) -> Band:
    if quantity is Quantity.VENT:
        return _kelvin(typed, one)
    _, pascal = PRESSURE_UNITS[typed.pressure_unit.lower()]
    return Band(one.low * pascal + ATMOSPHERE, one.high * pascal + ATMOSPHERE)


def compared(
    table: MakersTable,
    quantity: Quantity,
    value: float,
    u: float,
    *,
    at: float | None,
    humidity: float | None,
) -> Compared:
    """A reading (K or Pa absolute) with its standard uncertainty, against the table at an air temperature (K)."""
    looked = _looked_up(table, quantity, at, humidity)
    if isinstance(looked, str):
        return Compared(quantity, value, Place.NONE, because=looked)
    beyond = max(looked.low - value, value - looked.high)
    place = Place.INSIDE if beyond <= 0 else Place.EDGE if beyond <= 2 * u else Place.OUTSIDE
    return Compared(quantity, value, place, looked.low, looked.high)


_NOT_READ = {
    Against.INLET: phrase("the table goes by the air going in, which was not read"),
    Against.OUTDOOR: phrase("the table goes by the outdoor air, which was not read"),
}


def has_bands(table: MakersTable, quantity: Quantity) -> bool:
    return any(quantity in row.bands for row in table.rows)


def _looked_up(
    table: MakersTable, quantity: Quantity, at: float | None, humidity: float | None
) -> Band | str:
    """The band at this air, or why there is none."""
    rows = [row for row in table.rows if quantity in row.bands]
    if at is None:
        return _NOT_READ[table.typed.against]
    grid = {(row.temperature, row.humidity or ANY_HUMIDITY): row.bands[quantity] for row in rows}
    if humidity is None and any(damp != ANY_HUMIDITY for _, damp in grid):
        return phrase("the table goes by humidity, which was not read")
    warm = _weights(at, {temperature for temperature, _ in grid})
    damp = _weights(humidity or 0.0, {humidity for _, humidity in grid})
    if warm is None or damp is None:
        return phrase("outside what the table is printed for")
    corners = [(grid.get((t, h)), share * part) for t, share in warm for h, part in damp if share * part > 0]
    known = [(one, share) for one, share in corners if one is not None]
    if len(known) < len(corners):
        return phrase("the table has no row for that air")
    return Band(
        math.fsum(one.low * share for one, share in known),
        math.fsum(one.high * share for one, share in known),
    )


def _weights(value: float, bands: Iterable[Band]) -> list[tuple[Band, float]] | None:
    """The printed bands on either side of a value and the share of each; None beyond the printed ones.

    A row stands for the middle of its band; in the outer half of the first and last band it holds as printed.
    """
    ordered = sorted(bands, key=lambda one: (one.middle, one.low))
    if not min(one.low for one in ordered) <= value <= max(one.high for one in ordered):
        return None
    value = min(max(value, ordered[0].middle), ordered[-1].middle)
    for below, above in pairwise(ordered):
        if value <= above.middle:
            width = above.middle - below.middle
            share = (value - below.middle) / width if width > 0 else 0.0
            return [(below, 1 - share), (above, share)]
    return [(ordered[-1], 1.0)]
