"""The files of a hand-over pack: the closing count, open jobs, and the records, with customers' details or without."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from compliance.core.hand_over import HandOverFacts
from compliance.models import Document, StatementProof
from compliance.sheets.files import Files, card_files, csv_file, paper_files, proof_files
from compliance.sheets.jobs import jobs_sheet
from compliance.sheets.month import facilities_sheet
from compliance.sheets.people import statements_sheet
from compliance.sheets.whole import whole_shop
from inventory.sheets import book_sheet, containers_sheet, counts_sheet, deliveries_sheet, tickets_sheet
from shop.core.mass import Mass
from shop.core.sheet import Sheet, columns, readme
from shop.models import CardImage, Establishment, Person
from shop.sheets import checks_sheet, clock, equipment_sheet, people_sheet

OF_CUSTOMERS = {
    *("vin", "plate", "vehicle", "customer", "phone", "repair_order", "odometer", "complaint"),
}
README = """{shop}: hand-over pack for {buyer}, closing count of {on}, as of {at}.

cover.pdf                the closing count, open jobs, who stays; both sign on it
equipment-statement.pdf  the buyer's new equipment statement, not signed; only the buyer signs it
count/                   the closing count and the open jobs, CSV
shop/                    the records{what}
shop/cards/              copies of 609 cards of who stays, no others

{kept}
A pack can be made again when the sale slips; the newer one holds. MANIFEST.sha256 holds the SHA-256 of every other
file; check with: sha256sum -c MANIFEST.sha256

{lists}"""
AGREED = "Customers' details are in it, because seller and buyer agreed on that."
LEFT_OUT = """Customers' details are not in it. Left out are certificates, case files, usage reports, correction slips,
photos, scans, invoices, whatever names a car or its owner, and all tables of the program. The seller keeps them; the
jobs are listed without them."""


def pack_files(
    establishment: Establishment,
    facts: HandOverFacts,
    staff: Iterable[Person],
    papers: tuple[bytes, bytes],
    at: datetime,
) -> Files:
    """(path, pieces) of every file but the manifest. ``papers`` are the cover and the buyer's statement."""
    count = closing_count_sheet(facts)
    images = CardImage.objects.filter(card__person__in=list(staff))
    records = _everything(establishment, at) if facts.with_customers else _without_customers(establishment)
    told = README.format(
        shop=establishment.name,
        buyer=facts.buyer,
        on=facts.on,
        at=clock(establishment, at).isoformat(" ", "minutes"),
        what=": every list, table, paper and photo" if facts.with_customers else " that name no customer",
        kept=AGREED if facts.with_customers else LEFT_OUT,
        lists=readme([count]),
    )
    yield "README.txt", [told.encode()]
    yield "cover.pdf", [papers[0]]
    yield "equipment-statement.pdf", [papers[1]]
    yield csv_file(count, "count")
    yield csv_file(open_jobs_sheet(facts), "count")
    for path, pieces in records:
        yield f"shop/{path}", pieces
    for path, pieces in card_files(images):
        yield f"shop/{path}", pieces


def _everything(establishment: Establishment, at: datetime) -> Files:
    """The whole shop but the copies of cards, which only go along for who stays."""
    return (one for one in whole_shop(establishment, at) if not one[0].startswith("cards/"))


def _without_customers(establishment: Establishment) -> Files:
    """What the named lists hold, and the papers that name no car: a new list stays out until it is named here."""
    for sheet in (
        book_sheet(establishment),
        containers_sheet(establishment),
        counts_sheet(establishment),
        deliveries_sheet(establishment),
        tickets_sheet(establishment),
        people_sheet(establishment),
        equipment_sheet(establishment),
        checks_sheet(establishment),
        facilities_sheet(establishment),
        statements_sheet(establishment),
        without(jobs_sheet(establishment), OF_CUSTOMERS),
    ):
        yield csv_file(sheet)
    kinds = (Document.Kind.SHIPMENT, Document.Kind.STATEMENT)
    yield from paper_files(Document.objects.filter(establishment=establishment, kind__in=kinds))
    yield from proof_files(StatementProof.objects.filter(sent__document__establishment=establishment))


def without(sheet: Sheet, names: set[str]) -> Sheet:
    """The same sheet less these columns."""
    left = [place for place, column in enumerate(sheet.columns) if column.name not in names]
    return Sheet(
        sheet.name,
        sheet.about,
        tuple(sheet.columns[place] for place in left),
        (tuple(row[place] for place in left) for row in sheet.rows),
    )


def closing_count_sheet(facts: HandOverFacts) -> Sheet:
    """What the buyer's book opens with."""
    return Sheet(
        "closing-count",
        f"The closing count of {facts.on}: the buyer's book opens with it.",
        columns(
            ("container", "its number"),
            ("kind", "can or cylinder"),
            ("refrigerant", "of it"),
            ("how", "sealed by its label, weighed, at its last ticket, or missing"),
            ("found_g", "g, exact"),
            ("book_g", "by the book when the pack was made, g, exact"),
        ),
        (
            (one.code, one.kind, one.refrigerant, one.how, Mass(one.found_ug), Mass(one.book_ug))
            for one in facts.containers
        ),
    )


def open_jobs_sheet(facts: HandOverFacts) -> Sheet:
    return Sheet(
        "open-jobs",
        "Jobs that were open when the pack was made.",
        columns(("job", "its number"), ("since", "day")),
        ((number, date.fromisoformat(on)) for number, on in facts.open_jobs),
    )
