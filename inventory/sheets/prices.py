"""The bookkeeper's sheet of stock and its value."""

from __future__ import annotations

from collections.abc import Iterator

from inventory.queries.prices import Priced, PriceSheet
from shop.core.mass import ZERO
from shop.core.sheet import Sheet, Value, columns, dollars

Rows = Iterator[tuple[Value, ...]]


def price_sheet_rows(sheet: PriceSheet) -> Sheet:
    """The bookkeeper's sheet, row by row: what is left of each delivery, then each refrigerant by both methods."""
    return Sheet(
        "value",
        f"Stock in cans at the end of {sheet.day}, by first in, first out and by moving average.",
        columns(
            ("row", "delivery, opening, found, fifo or average"),
            ("refrigerant", "what it is"),
            ("delivery", "its number"),
            ("arrived_on", "day in the book"),
            ("received_g", "that came, g, exact"),
            ("cost_dollars", "newest invoice with tax and deposit; empty when it has no price"),
            ("left_g", "still in cans under first in, first out, g, exact; of a method: grams with a price"),
            ("value_dollars", "of these grams; empty when they have no price"),
            ("unpriced_g", "grams without a price, g, exact"),
            ("why", "there is no price"),
        ),
        (row for one in sheet.stock for row in _valued(one)),
    )


def _valued(one: Priced) -> Rows:
    found = one.valuation
    for layer in found.layers:
        receipt = layer.receipt
        unpriced = layer.left if layer.cents is None else None
        yield (
            *(
                "delivery" if receipt.name else "opening",
                one.refrigerant,
                receipt.name,
                receipt.on,
                receipt.mass,
            ),
            *(dollars(receipt.cents), layer.left, dollars(layer.cents), unpriced, receipt.why),
        )
    if found.found > ZERO:
        yield (
            "found",
            one.refrigerant,
            *(None,) * 4,
            found.found,
            None,
            found.found,
            "came with no delivery",
        )
    for method, worth in (("fifo", found.fifo), ("average", found.average)):
        yield (
            method,
            one.refrigerant,
            *(None,) * 4,
            worth.priced,
            dollars(worth.cents),
            worth.unpriced,
            None,
        )
