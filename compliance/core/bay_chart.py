"""The saturation chart as a sheet to pin in the bay: numbers as printed, and the few sentences around them.

It has no date: the same shop, height and equations make the same sheet, and it never grows old.
"""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.paper import Paper
from compliance.core.wording import fingerprint
from inventory.core.chart import GASES, Chart, ChartRow
from inventory.core.properties import EQUATIONS
from inventory.core.refrigerants import FLAMMABLE
from shop.core.cautions import CYLINDER, DEFER, FLAME, GLOVES
from shop.core.gauge import rounded
from shop.core.phrase import phrase


@dataclass(frozen=True, slots=True)
class Half:
    """One table: its temperature's unit, what the gauge counts in, and rows of printed numbers, degrees first."""

    degrees: str
    gauge: str
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class BayChart:
    """A whole sheet. ``air`` says for which air pressure; ``columns`` are (refrigerant, "FLAMMABLE" or "")."""

    shop: str
    title: str
    use: str
    air: str
    columns: tuple[tuple[str, str], ...]
    halves: tuple[Half, Half]
    warning: str
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    made: str


def bay_chart(table: Chart, *, shop: str, air: str) -> BayChart:
    """The sheet of a chart for this shop; ``air`` says how its air pressure is known."""
    return BayChart(
        shop=shop,
        title=phrase("SATURATION CHART"),
        use=phrase("What the gauge shows on a cylinder at rest that holds liquid."),
        air=phrase("For {air}.", air=air),
        columns=tuple((gas, phrase("FLAMMABLE") if gas in FLAMMABLE else "") for gas in GASES),
        halves=(
            Half("°F", phrase("psi on the gauge"), tuple(_row(row, 1) for row in table.in_f)),
            Half("°C", phrase("kPa on the gauge"), tuple(_row(row, 0) for row in table.in_c)),
        ),
        warning=phrase(
            "Pressure alone cannot identify a refrigerant. R-134a and R-1234yf are within 3.4 psi of each other from 0"
            " to 120 °F; air or a mixture of them shows more."
        ),
        notes=(
            phrase("Out of the sun, at rest for hours; thermometer on the cylinder, at its liquid."),
            phrase("Below 0 the gauge shows a vacuum."),
        ),
        cautions=(GLOVES.text, FLAME.text, CYLINDER.text, DEFER),
        made=phrase("{equations}: within 0.05 % of the reference equations of state.", equations=EQUATIONS),
    )


def _row(row: ChartRow, places: int) -> tuple[str, ...]:
    numbers = ("–" if one is None else rounded(one, places) for one in row.shown)
    return (rounded(row.degrees, 0), *numbers)


def as_file(sheet: BayChart, language: str) -> Paper:
    """What the file says about itself."""
    return Paper(
        title=sheet.title,
        number="",
        version=1,
        dated=sheet.air,
        shop=(sheet.shop,),
        blocks=(),
        made=sheet.made,
        check_url="",
        fingerprint=fingerprint(sheet),
        language=language,
    )
