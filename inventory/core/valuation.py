"""What new refrigerant in cans is worth: first in, first out, and moving average. Apart from the refrigerant book.

Grams come from the book, prices from invoices; a gram without a price has no value here, and none is made up for it.
Money is whole cents, rounded once, half-even, at the end.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal, localcontext

from shop.core.mass import ZERO, Mass, total

DIGITS = 40  # of the moving average; more than a century of deliveries needs


@dataclass(frozen=True, slots=True)
class Receipt:
    """Sealed cans of one refrigerant that came on one day. ``cents`` is None when nobody knows what they cost, and
    ``why`` then says why."""

    name: str
    on: date
    mass: Mass
    cents: int | None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Change:
    """What else made the cans hold more (+) or less (−) on a day: use, counts, returns."""

    on: date
    mass: Mass


@dataclass(frozen=True, slots=True)
class Layer:
    """What is left of one receipt under first in, first out. ``cents`` is None when it has no price."""

    receipt: Receipt
    left: Mass
    cents: int | None


@dataclass(frozen=True, slots=True)
class Worth:
    """A stock by one method: cents for the priced grams; the rest has no price."""

    cents: int
    priced: Mass
    unpriced: Mass


@dataclass(frozen=True, slots=True)
class Valuation:
    """Stock of one refrigerant on a day, by both methods. ``found`` came from no receipt: counts, fuller cans."""

    stock: Mass
    layers: tuple[Layer, ...]
    found: Mass
    fifo: Worth
    average: Worth


def valuation(stock: Mass, receipts: Sequence[Receipt], changes: Iterable[Change]) -> Valuation:
    """Value what the book has in cans. ``receipts`` and ``changes`` are all up to the day, and make the stock."""
    layers, found = _layers(stock, receipts)
    priced = [layer for layer in layers if layer.cents is not None]
    fifo_priced = total(layer.left for layer in priced)
    fifo = Worth(sum(layer.cents or 0 for layer in priced), fifo_priced, max(stock, ZERO) - fifo_priced)
    return Valuation(stock, layers, found, fifo, _average(stock, receipts, changes))


def _layers(stock: Mass, receipts: Sequence[Receipt]) -> tuple[tuple[Layer, ...], Mass]:
    """The newest receipts that make up the stock, oldest first, and what no receipt explains. Of one day the later one
    in the row is the newer."""
    wanted, layers = max(stock, ZERO), []
    for receipt in sorted(receipts, key=lambda one: one.on)[::-1]:
        left = min(receipt.mass, wanted)
        if left > ZERO:
            layers.append(Layer(receipt, left, _share(receipt, left)))
            wanted -= left
    return tuple(reversed(layers)), wanted


def _share(receipt: Receipt, left: Mass) -> int | None:
    if receipt.cents is None:
        return None
    return _cents(Decimal(receipt.cents) * left.ug / receipt.mass.ug)


def _average(stock: Mass, receipts: Sequence[Receipt], changes: Iterable[Change]) -> Worth:
    """The moving average: each receipt changes the price of a gram, each use takes grams at that price.

    Priced and unpriced grams stand in one heap; what leaves takes of both as they lie there. A day's receipts come
    before its use.
    """
    events = [(one.on, 0, one.mass, one.cents) for one in receipts]
    events += [(one.on, 1, one.mass, None) for one in changes]
    with localcontext(prec=DIGITS):
        priced, unpriced, value = Decimal(0), Decimal(0), Decimal(0)
        for _, _, mass, cents in sorted(events, key=lambda event: event[:2]):
            if mass < ZERO:
                stays = (
                    1 - min(Decimal(-mass.ug) / (priced + unpriced), Decimal(1)) if priced + unpriced else 0
                )
                priced, unpriced, value = priced * stays, unpriced * stays, value * stays
            elif cents is None:
                unpriced += mass.ug
            else:
                priced, value = priced + mass.ug, value + cents
        share = Mass(int(priced.quantize(Decimal(1), ROUND_HALF_EVEN)))
        return Worth(_cents(value), share, max(stock - share, ZERO))


def _cents(value: Decimal) -> int:
    return int(value.quantize(Decimal(1), ROUND_HALF_EVEN))
