"""A maker's table typed for a vehicle, or taken back."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from compliance.core.makers_table import TableTyped, makers_table
from compliance.models import MakerRow, MakerTable, MakerTableTakenBack
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person, Vehicle


@transaction.atomic
def record_makers_table(vehicle: Vehicle, typed: TableTyped, *, at: datetime, by: Person) -> MakerTable:
    """Keep a table as typed; it takes the place of an earlier one for the same air. Raises ``Refused`` when a row
    cannot be read."""
    _, found = makers_table(typed)
    refuse_if_blocked(found)
    table = MakerTable.objects.create(
        vehicle=vehicle,
        against=typed.against,
        source=typed.source.strip(),
        run_as=typed.run_as.strip(),
        temperature_unit=typed.temperature_unit,
        pressure_unit=typed.pressure_unit,
        at=at,
        by=by,
    )
    for place, row in enumerate(typed.rows):
        MakerRow.objects.create(
            table=table,
            place=place,
            temperature=row.temperature.strip(),
            humidity=row.humidity.strip(),
            vent=row.vent.strip(),
            high_side=row.high_side.strip(),
            low_side=row.low_side.strip(),
        )
    return table


@transaction.atomic
def take_back_makers_table(table: MakerTable, *, why: str, at: datetime, by: Person) -> MakerTableTakenBack:
    """Say that a table holds no more, and why. Papers that were signed with it stay as they are."""
    if len(why.strip()) < 3:
        refuse_if_blocked([blocked("why-empty", phrase("Say why in a few words."), "why")])
    if MakerTableTakenBack.objects.filter(table=table).exists():
        refuse_if_blocked([blocked("table-taken-back", phrase("This table was taken back already."))])
    return MakerTableTakenBack.objects.create(table=table, why=why.strip(), at=at, by=by)
