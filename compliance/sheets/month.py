"""The lists and files of one month, for a drive in the office: the records of 40 CFR 82.42 have to be at the shop."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Count, Max, Q, QuerySet

from compliance.models import Document, Job
from compliance.queries.statements import statements
from compliance.sheets.corrections import corrections_sheet
from compliance.sheets.files import Files, card_files, csv_file, paper_files
from compliance.sheets.jobs import jobs_sheet, papers_sheet
from compliance.sheets.people import statements_sheet
from inventory.models import Facility
from inventory.sheets import book_sheet
from shop.core.period import Period
from shop.core.sheet import Sheet, columns, readme
from shop.models import CardImage, Establishment
from shop.sheets import clock, people_sheet

README = """{shop}: monthly copy, {period}, as of {at}.

papers/       certificates, shipment records, case files and usage reports of the month, each version, PDF as signed
{report}
statements/   equipment statements that stand, PDF as signed (40 CFR 82.42(a))
cards/        copies of 609 cards, PDF or JPEG (40 CFR 82.42(b)(2))
lists/        CSV: jobs, papers, corrections and the refrigerant book of the month; people with their cards, facilities
              with their addresses (40 CFR 82.42(b)(1)) and equipment statements as they stand now

No price is in it. It holds customers' names and phone numbers; keep it where strangers do not get at it.
That records are kept at the shop is asked for by 40 CFR 82.42(b)(4). A copy each month is common practice, no source.
MANIFEST.sha256 holds the SHA-256 of every other file; check with: sha256sum -c MANIFEST.sha256

{lists}"""
SIGNED = "              the signed usage report that covers the month is among the papers"
DRAFT = "usage-report-draft.pdf   the month as the book stands now; nobody has signed a usage report that covers it"


def month_files(establishment: Establishment, month: Period, draft: bytes, at: datetime) -> Files:
    """(path, pieces) of every file but the manifest. ``draft`` is the unsigned usage report, b"" when one is signed."""
    jobs = Job.objects.filter(establishment=establishment).filter(
        Q(on__range=(month.first, month.last)) | Q(closing__on__range=(month.first, month.last))
    )
    papers = papers_of(establishment, month)
    lists = (
        jobs_sheet(establishment, jobs),
        papers_sheet(establishment, papers),
        corrections_sheet(establishment, month),
        book_sheet(establishment, month),
        people_sheet(establishment),
        facilities_sheet(establishment),
        statements_sheet(establishment),
    )
    told = README.format(
        shop=establishment.name,
        period=month,
        at=clock(establishment, at).isoformat(" ", "minutes"),
        report=DRAFT if draft else SIGNED,
        lists=readme(lists),
    )
    yield "README.txt", [told.encode()]
    for sheet in lists:
        yield csv_file(sheet)
    yield from paper_files(papers)
    if draft:
        yield "usage-report-draft.pdf", [draft]
    standing = [one.document.pk for one in statements(establishment) if one.standing]
    yield from paper_files(Document.objects.filter(pk__in=standing), "statements")
    yield from card_files(CardImage.objects.filter(card__person__establishment=establishment))


def papers_of(establishment: Establishment, month: Period) -> QuerySet[Document]:
    """Papers that are dated or were signed in the month, and usage reports that tell of a day of it."""
    dated = Q(dated__range=(month.first, month.last)) | Q(at__range=month.instants(establishment.time_zone))
    telling = Q(usage_report__first__lte=month.last, usage_report__last__gte=month.first)
    return Document.objects.filter(dated | telling, establishment=establishment)


def is_reported(establishment: Establishment, month: Period) -> bool:
    """Whether a usage report that stands covers the whole month."""
    rows = Document.objects.filter(establishment=establishment, withdrawal=None, replaced_by=None)
    return rows.filter(usage_report__first__lte=month.first, usage_report__last__gte=month.last).exists()


def facilities_sheet(establishment: Establishment) -> Sheet:
    """Where refrigerant is sent, with the address: 40 CFR 82.42(b)(1)."""
    rows = Facility.objects.filter(establishment=establishment).order_by("pk")
    return Sheet(
        "facilities",
        "Facilities that refrigerant was sent to, each with its address at the time.",
        columns(
            ("name", "as typed"),
            ("address", "as typed"),
            ("phone", "as typed"),
            ("reclaimer_checked_on", "day on which its status was looked up; empty when it was not"),
            ("shipments", "how many"),
            ("last_sent_on", "day"),
        ),
        (
            (one.name, one.address, one.phone, one.reclaimer_checked_on, one.sent, one.last_on)
            for one in rows.annotate(sent=Count("shipments"), last_on=Max("shipments__on"))
        ),
    )
