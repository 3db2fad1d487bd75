"""CO2-equivalent of a mass of refrigerant, by one named table at a time.

A factor without its table, edition and horizon says nothing, and factors of two tables are never added: ``weighed``
takes one table for all. A table that has no factor for a refrigerant gives none, never zero.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from shop.core.answer import Answer, unknown
from shop.core.findings import Finding, blocked
from shop.core.mass import Mass, Unit
from shop.core.phrase import phrase


@dataclass(frozen=True, slots=True)
class FactorTable:
    """Factors of one source in kg CO2 per kg, as it prints them; ``horizon`` in years, 0 where a law just sets them."""

    key: str
    name: str
    edition: str
    horizon: int
    source: str
    factors: tuple[tuple[str, Decimal], ...]

    def factor(self, refrigerant: str) -> Decimal | None:
        return dict(self.factors).get(refrigerant)

    @property
    def said(self) -> str:
        """Name, edition and horizon, for a person to choose by."""
        if self.horizon:
            years = phrase("over {years} years", years=self.horizon)
            return phrase("{name}, {edition}, {years}", name=self.name, edition=self.edition, years=years)
        return phrase("{name}, {edition}", name=self.name, edition=self.edition)


def _factors(**values: str) -> tuple[tuple[str, Decimal], ...]:
    return tuple((code.replace("_", "-"), Decimal(value)) for code, value in values.items())


FEDERAL = FactorTable(
    "aim",
    phrase("AIM Act exchange values"),
    "42 U.S.C. 7675(c)(1)",
    0,
    "42 U.S.C. 7675(c)(1), read",
    _factors(R_134a="1430", R_152a="124"),
)
PANEL = phrase("IPCC global warming potentials")
TABLES = (
    FEDERAL,
    FactorTable(
        "ar4",
        PANEL,
        phrase("Fourth Assessment Report, 2007"),
        100,
        "openclimatedata/globalwarmingpotentials, read",
        _factors(R_134a="1430", R_152a="124"),
    ),
    FactorTable(
        "ar5",
        PANEL,
        phrase("Fifth Assessment Report, 2013"),
        100,
        "openclimatedata/globalwarmingpotentials, read",
        _factors(R_134a="1300", R_152a="138"),
    ),
    FactorTable(
        "ar6",
        PANEL,
        phrase("Sixth Assessment Report, 2021"),
        100,
        "IPCC AR6 WG1 table 7.SM.7, as published in chrisroadmap/ar6, read",
        _factors(R_134a="1530", R_152a="164", R_1234yf="0.501"),
    ),
    FactorTable(
        "ar6-20",
        PANEL,
        phrase("Sixth Assessment Report, 2021"),
        20,
        "IPCC AR6 WG1 table 7.SM.7, as published in chrisroadmap/ar6, read",
        _factors(R_134a="4140", R_152a="591", R_1234yf="1.81"),
    ),
    FactorTable(
        "leaflet",
        phrase("EPA leaflet on vehicle air conditioning"),
        "EPA 430-F-13-041, 2013",
        100,
        "EPA 430-F-13-041, read",
        _factors(R_134a="1430", R_152a="124", R_1234yf="4", R_744="1"),
    ),
)
TABLE = {table.key: table for table in TABLES}
NOT_REGULATED = phrase("R-1234yf is no HFC and no regulated substance of that law: it has no exchange value.")
NOT_SAVED = phrase(
    "CO2e of what these grams would do in the air. It says nothing of what was avoided or saved."
)


@dataclass(frozen=True, slots=True)
class Co2e:
    """One amount by one table: ``kg`` of CO2 is None where the table has no factor, and ``why`` says so."""

    table: str
    refrigerant: str
    mass: Mass
    factor: Decimal | None
    kg: Decimal | None
    why: str = ""


def co2e(mass: Mass, refrigerant: str, table: FactorTable) -> Co2e:
    """kg CO2e = kg of refrigerant times the table's factor; exact, unrounded."""
    factor = table.factor(refrigerant)
    if factor is None:
        return Co2e(table.key, refrigerant, mass, None, None, _why_none(refrigerant, table))
    return Co2e(table.key, refrigerant, mass, factor, mass.to(Unit.KG) * factor)


def _why_none(refrigerant: str, table: FactorTable) -> str:
    if table is FEDERAL and refrigerant == "R-1234yf":
        return NOT_REGULATED
    return phrase("{gas} is not in that table.", gas=refrigerant)


def total_kg(amounts: Sequence[Co2e]) -> Decimal | Finding:
    """The sum of amounts by one table, over those that it has a factor for; amounts of two tables are not added."""
    tables = {one.table for one in amounts}
    if len(tables) > 1:
        sentence = phrase("Amounts of two tables are not added up. Choose one table for all of them.")
        return blocked("co2e-two-tables", sentence, "table")
    return sum((one.kg for one in amounts if one.kg is not None), Decimal(0))


def kg_shown(kg: Decimal) -> str:
    """Three figures that mean something: "324", "28.1", "0.114"."""
    places = 0 if kg >= 100 else 1 if kg >= 10 else 2 if kg >= 1 else 3
    return f"{kg.quantize(Decimal(1).scaleb(-places)):,}"


def co2e_answer(one: Co2e) -> Answer:
    """In words: the amount with its factor, table, edition and source."""
    table = TABLE[one.table]
    if one.kg is None or one.factor is None:
        return unknown(one.why, basis=table.source)
    headline = phrase(
        "{kg} kg CO2e for {grams} g of {gas}.",
        kg=kg_shown(one.kg),
        grams=_grams(one.mass),
        gas=one.refrigerant,
    )
    numbers = (
        (phrase("Factor"), phrase("{factor} kg CO2 a kg", factor=f"{one.factor:,}")),
        (phrase("Table"), table.said),
    )
    return Answer(headline, (NOT_SAVED,), numbers, basis=table.source)


def _grams(mass: Mass) -> str:
    places = 0 if mass.ug % 1_000_000 == 0 else 1
    return f"{mass.rounded(Unit.G, places):,}"
