"""CO2e of what a usage report says was released: optional, by one table that is named with its edition."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from compliance.core.co2e import TABLE, Co2e, co2e, kg_shown, total_kg
from compliance.core.paper import Table
from compliance.core.usage_account import Accounts
from compliance.core.usage_report_facts import Co2eFacts, Co2eLine, NewRefrigerant, RecoveredRefrigerant
from shop.core.findings import Finding
from shop.core.mass import Mass

NOT_SAVED = (
    "Only recorded releases are weighed. Nothing here was avoided or saved, and no other table was added in."
)


def co2e_facts(
    table: str, new: Iterable[NewRefrigerant], recovered: Iterable[RecoveredRefrigerant]
) -> Co2eFacts | None:
    """The releases of a period by one table, refrigerant by refrigerant; None when no table was asked for."""
    chosen = TABLE.get(table)
    if chosen is None:
        return None
    lines = [(one.refrigerant, one.released_ug) for one in new]
    lines += [(one.refrigerant, one.released_ug) for one in recovered]
    released: dict[str, int] = {}
    for gas, ug in lines:
        released[gas] = released.get(gas, 0) + ug
    amounts = [co2e(Mass(ug), gas, chosen) for gas, ug in released.items() if ug]
    total = total_kg(amounts)
    assert not isinstance(total, Finding)  # noqa: S101 - one table for all
    return Co2eFacts(chosen.key, str(chosen.said), chosen.source, tuple(map(_line, amounts)), str(total))


def _line(one: Co2e) -> Co2eLine:
    factor, kg = ("", "") if one.factor is None or one.kg is None else (str(one.factor), str(one.kg))
    return Co2eLine(one.refrigerant, one.mass.ug, factor, kg, str(one.why))


def co2e_table(facts: Co2eFacts, sums: Accounts) -> Table:
    """Grams as the account prints them, the factor, and kg CO2e; what has no factor says why and is not added."""
    rows = [_row(line, sums) for line in facts.lines]
    counted = [line for line in facts.lines if line.kg]
    if len(counted) > 1:
        rows.append(("All with a factor", "", "", kg_shown(Decimal(facts.total_kg))))
    unlisted = tuple(
        f"{line.why} Its {sums.number(line.released_ug)} g are not in this sum."
        for line in facts.lines
        if not line.kg
    )
    return Table(
        "CO2e of releases",
        ("Refrigerant", "Released, g", "Factor, kg CO2 a kg", "kg CO2e"),
        tuple(rows),
        numeric=(1, 2, 3),
        strong=(len(rows) - 1,) if len(counted) > 1 else (),
        notes=(f"Factors: {facts.said}. Source: {facts.source}.", *unlisted, NOT_SAVED),
        empty="No release was recorded in this period.",
        asked_by="Optional",
    )


def _row(line: Co2eLine, sums: Accounts) -> tuple[str, ...]:
    released = sums.number(sums.released(line.refrigerant))
    if not line.kg:
        return (line.refrigerant, released, "none", "–")
    return (line.refrigerant, released, f"{Decimal(line.factor):,}", kg_shown(Decimal(line.kg)))
