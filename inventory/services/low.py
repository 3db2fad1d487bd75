"""Telling other programs that full cans run low: once for each time, not once for each look."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.db import transaction

from inventory.core.stock import ENOUGH, Stock
from inventory.models import StockMark
from inventory.queries import low_stock
from shop.core.outgoing import What
from shop.models import Establishment
from shop.services import tell


def look_at_stock(establishment: Establishment, *, on: date, at: datetime) -> list[Stock]:
    """Mark what ran low since the last look, and what is enough again; what ran low is told and returned.

    Use as well as stock moves the line, and so does time alone; so this looks at what is, whatever brought it about.
    """
    low = low_stock(establishment, on)
    if not any(_changes(establishment, low)):
        return []
    with transaction.atomic():
        Establishment.objects.select_for_update(no_key=True).get(
            pk=establishment.pk
        )  # of two looks one tells
        low = low_stock(establishment, on)
        fell, rose = _changes(establishment, low)
        StockMark.objects.bulk_create(
            StockMark(establishment=establishment, refrigerant_id=gas, low=is_low, at=at)
            for gases, is_low in (([one.refrigerant for one in fell], True), (rose, False))
            for gas in gases
        )
        for stock in fell:
            tell(establishment, What.STOCK_LOW, _facts(stock), at=at, by=None)
    return fell


def _changes(establishment: Establishment, low: Sequence[Stock]) -> tuple[list[Stock], list[str]]:
    """(what is low and was not, which refrigerants are not low any more)."""
    marks = StockMark.objects.filter(establishment=establishment).order_by("pk")
    marked = {gas for gas, is_low in dict(marks.values_list("refrigerant_id", "low")).items() if is_low}
    return [one for one in low if one.refrigerant not in marked], sorted(
        marked - {one.refrigerant for one in low}
    )


def _facts(stock: Stock) -> dict[str, object]:
    return {
        "refrigerant": stock.refrigerant,
        "full_cans": stock.full,
        "cans_in_a_usual_week": stock.usual,
        "low_means_at_most_weeks": ENOUGH,
    }
