"""The makers' tables that hold for a vehicle."""

from __future__ import annotations

from compliance.core.makers_table import Against, MakersTable, RowTyped, TableTyped, makers_table
from compliance.models import MakerTable
from shop.models import Vehicle


def tables_held(vehicle: Vehicle) -> list[MakerTable]:
    """The newest table for each kind of air that was not taken back, with its rows."""
    rows = MakerTable.objects.filter(vehicle=vehicle, taken_back=None).select_related("by")
    newest = {table.against: table for table in rows.prefetch_related("rows").order_by("pk")}
    return list(newest.values())


def table_typed(table: MakerTable) -> TableTyped:
    """A kept table as it was typed."""
    rows = tuple(
        RowTyped(row.temperature, row.humidity, row.vent, row.high_side, row.low_side)
        for row in table.rows.all()
    )
    return TableTyped(
        Against(table.against), table.source, table.run_as, table.temperature_unit, table.pressure_unit, rows
    )


def makers_tables(vehicle: Vehicle) -> list[MakersTable]:
    """The same as core compares with."""
    read = (makers_table(table_typed(table))[0] for table in tables_held(vehicle))
    return [table for table in read if table is not None]
