"""The monthly copy for a drive in the office."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction

from compliance.core.usage_report import usage_report
from compliance.models import Package
from compliance.pdf.drawing import draw
from compliance.services.packages import note_package
from compliance.services.reports import draft_usage_report
from compliance.sheets.month import is_reported, month_files
from compliance.sheets.writing import Write
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.period import Period
from shop.core.phrase import phrase
from shop.core.roles import Role
from shop.models import Establishment, Person


@transaction.atomic
def make_bundle(
    establishment: Establishment, write: Write, *, month: Period, today: date, at: datetime, by: Person
) -> Package:
    """Write the copy of a month. One that still runs goes up to today, and is made anew when it is over.

    Raises ``Refused`` for a month that has not begun, or for a technician.
    """
    found = []
    if month.first > today:
        found.append(blocked("month-future", phrase("That month has not begun yet."), "month"))
    if by.role == Role.TECHNICIAN:
        found.append(blocked("not-office", phrase("The front office or the owner does that."), "month"))
    refuse_if_blocked(found)
    draft = b""
    if not is_reported(establishment, month):
        days = Period(month.first, min(month.last, today))
        draft = draw(usage_report(draft_usage_report(establishment, days, today=today, at=at, by=by)))
    made = write(month_files(establishment, month, draft, at))
    return note_package(Package.Kind.BUNDLE, month.first, made, establishment, at=at, by=by)
