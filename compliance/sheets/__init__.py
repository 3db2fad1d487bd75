"""All lists of the shop as sheets: which there are, what each is, and who may take it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from compliance.sheets.archive import packages_sheet
from compliance.sheets.clearing import clearings_sheet
from compliance.sheets.control import chart_values_sheet
from compliance.sheets.corrections import corrections_sheet, holds_sheet
from compliance.sheets.difference import notes_sheet
from compliance.sheets.jobs import jobs_sheet, papers_sheet, photos_sheet
from compliance.sheets.people import card_copies_sheet, statements_sheet, work_days_sheet
from compliance.sheets.rules import rules_sheet
from compliance.sheets.visits import visits_sheet
from compliance.sheets.work import work_sheet
from inventory import sheets as cabinet
from shop import sheets as house
from shop.core.phrase import Phrase, phrase
from shop.core.roles import Role
from shop.core.sheet import Sheet
from shop.models import Establishment

EVERYONE = frozenset(Role)
OFFICE = frozenset({Role.FRONT_OFFICE, Role.OWNER})


@dataclass(frozen=True, slots=True)
class Listed:
    """One sheet that can be taken out, for the same people as the list that it is."""

    name: str
    title: Phrase
    make: Callable[[Establishment], Sheet]
    roles: frozenset[Role] = EVERYONE


SHEETS = (
    Listed("deliveries", phrase("Deliveries"), cabinet.deliveries_sheet),
    Listed("invoices", phrase("Invoices"), cabinet.invoices_sheet, OFFICE),
    Listed("containers", phrase("Cans and cylinders"), cabinet.containers_sheet),
    Listed("book", phrase("Refrigerant book"), cabinet.book_sheet),
    Listed("weigh-tickets", phrase("Weigh tickets"), cabinet.tickets_sheet),
    Listed("counts", phrase("Counts"), cabinet.counts_sheet),
    Listed("earlier-papers", phrase("Earlier papers"), cabinet.earlier_sheet, OFFICE),
    Listed("imports", phrase("Imports"), cabinet.imports_sheet, frozenset({Role.OWNER})),
    Listed("difference-notes", phrase("Differences that were left"), notes_sheet),
    Listed("suppliers", phrase("Suppliers"), cabinet.suppliers_sheet, OFFICE),
    Listed("jobs", phrase("Jobs"), jobs_sheet),
    Listed("work", phrase("Work by technician"), work_sheet),
    Listed("papers", phrase("Papers"), papers_sheet),
    Listed("corrections", phrase("Correction slips"), corrections_sheet),
    Listed("holds", phrase("Holds"), holds_sheet),
    Listed("visits", phrase("Visits"), visits_sheet),
    Listed("photos", phrase("Photos, by name"), photos_sheet),
    Listed("rules", phrase("Rules in force"), rules_sheet),
    Listed("people", phrase("People and cards"), house.people_sheet),
    Listed("work-days", phrase("Work-day check"), work_days_sheet),
    Listed("card-copies", phrase("Copies for suppliers"), card_copies_sheet, OFFICE),
    Listed("statements", phrase("Equipment statements"), statements_sheet),
    Listed("packages", phrase("Archives and copies"), packages_sheet, OFFICE),
    Listed("clearings", phrase("Clearings, job by job"), clearings_sheet, frozenset({Role.OWNER})),
    Listed("equipment", phrase("Equipment"), house.equipment_sheet),
    Listed("checks", phrase("Checks of equipment"), house.checks_sheet),
    Listed(
        "chart-values", phrase("Values of the control charts"), chart_values_sheet, frozenset({Role.OWNER})
    ),
)
BY_NAME = {one.name: one for one in SHEETS}
