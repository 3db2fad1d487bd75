"""The values of the control charts as a sheet, for the owner."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from compliance.queries.control_charts import all_charts
from shop.core.sheet import Sheet, Value, columns
from shop.models import Establishment


def chart_values_sheet(establishment: Establishment) -> Sheet:
    """Every value of every chart since its last look, with both sums after it."""
    return Sheet(
        "chart-values",
        "Closures behind the control charts, since the last look at each; an alarm is a sum over 5.",
        columns(
            ("kind", "scale, technician or lot"),
            ("of", "which one"),
            ("closure", "shelf, can or check"),
            ("on", "day"),
            ("number", "of the weigh ticket, or of the check, that ends it"),
            ("residual_g", "g, to six decimals"),
            ("u_g", "its standard uncertainty, g, to six decimals"),
            ("upper", "sum upward after it, to six decimals"),
            ("lower", "sum downward after it, to six decimals"),
            ("alarm", "yes when either is over 5"),
        ),
        _rows(establishment),
    )


def _rows(establishment: Establishment) -> Iterator[tuple[Value, ...]]:
    for one in all_charts(establishment):
        stream = one.stream
        for value, point in zip(one.values, one.points, strict=True):
            yield (
                stream.kind,
                stream.shown,
                stream.what,
                value.on,
                value.number,
                _exact(value.residual_g),
                _exact(value.u_g),
                _exact(point.upper),
                _exact(point.lower),
                point.alarm,
            )


def _exact(number: float) -> Decimal:
    return Decimal(f"{number:.6f}")
