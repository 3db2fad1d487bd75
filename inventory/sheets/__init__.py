"""The cabinet's lists as sheets."""

from inventory.sheets.cabinet import book_sheet, containers_sheet, counts_sheet, tickets_sheet
from inventory.sheets.earlier import earlier_sheet
from inventory.sheets.imports import imports_sheet
from inventory.sheets.prices import price_sheet_rows
from inventory.sheets.receiving import deliveries_sheet, invoices_sheet, suppliers_sheet

__all__ = [
    "book_sheet",
    "containers_sheet",
    "counts_sheet",
    "deliveries_sheet",
    "earlier_sheet",
    "imports_sheet",
    "invoices_sheet",
    "price_sheet_rows",
    "suppliers_sheet",
    "tickets_sheet",
]
