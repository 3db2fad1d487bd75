"""Label stock by its dimensions, in points (72 to the inch). A label is named by its size, never by who sells it.

The margins of the sheets are the usual ones of that layout (from memory); "skip" and a test print on plain paper take
care of the rest.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

INCH = 72.0
LETTER = (8.5 * INCH, 11 * INCH)


@dataclass(frozen=True, slots=True)
class Stock:
    """``page`` and ``label`` are (width, height); ``first`` is the top left corner of the first label from the top left
    of the page; ``pitch`` is from one label's corner to the next one's."""

    code: str
    name: str
    page: tuple[float, float]
    label: tuple[float, float]
    columns: int = 1
    rows: int = 1
    first: tuple[float, float] = (0.0, 0.0)
    pitch: tuple[float, float] = (0.0, 0.0)

    @property
    def on_a_page(self) -> int:
        return self.columns * self.rows


STOCKS = {
    stock.code: stock
    for stock in (
        Stock("strip", "Strip of labels, 1 by 2 inches", (2 * INCH, INCH), (2 * INCH, INCH)),
        Stock(
            "sheet-30",
            "Letter sheet of 30, 1 by 2⅝ inches",
            LETTER,
            (2.625 * INCH, INCH),
            3,
            10,
            (0.1875 * INCH, 0.5 * INCH),
            (2.75 * INCH, INCH),
        ),
        Stock(
            "sheet-10",
            "Letter sheet of 10, 2 by 4 inches",
            LETTER,
            (4 * INCH, 2 * INCH),
            2,
            5,
            (0.15625 * INCH, 0.5 * INCH),
            (4.1875 * INCH, 2 * INCH),
        ),
        Stock("tag", "Tag, 4 by 6 inches, for cylinders", (4 * INCH, 6 * INCH), (4 * INCH, 6 * INCH)),
    )
}


def places(stock: Stock, count: int, skip: int = 0) -> Iterator[tuple[int, float, float]]:
    """(page, x, y) of so many labels, x and y of the top left corner from the top left of the page; ``skip`` places of
    the first page are left empty."""
    for number in range(skip, skip + count):
        page, place = divmod(number, stock.on_a_page)
        row, column = divmod(place, stock.columns)
        yield page, stock.first[0] + column * stock.pitch[0], stock.first[1] + row * stock.pitch[1]
