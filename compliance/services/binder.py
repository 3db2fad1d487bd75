"""The inspection binder: drawn anew whenever it is looked at, kept with a number when it is printed for somebody."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction

from compliance.core.binder import binder
from compliance.models import Document
from compliance.pdf.drawing import draw
from compliance.queries.binder import binder_facts
from compliance.services.documents import Issue, check_url, drawn, issue_document
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.period import Period, period_problems
from shop.core.phrase import phrase
from shop.models import Establishment, Person
from shop.services import next_number


def look_at_binder(
    establishment: Establishment, period: Period, *, today: date, at: datetime, by: Person
) -> bytes:
    """The PDF as the records stand now, without a number. Writes nothing."""
    refuse_if_blocked(period_problems(period.first, period.last, today=today))
    return draw(binder(binder_facts(establishment, period, at=at, by=by)))


@transaction.atomic
def issue_binder(
    establishment: Establishment, period: Period, *, why: str, today: date, at: datetime, by: Person
) -> Document:
    """Keep a binder as it stands: numbered, chained, never changed. A later one gets its own number."""
    found = period_problems(period.first, period.last, today=today)
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say what the binder is printed for."), "why"))
    refuse_if_blocked(found)
    number = f"IB{today:%y}-{next_number(f'IB{today:%y}', establishment, by=by):04d}"
    facts = binder_facts(
        establishment, period, number=number, check_url=check_url(number, 1), why=why.strip(), at=at, by=by
    )
    issue = Issue(Document.Kind.BINDER, number, 1, today, why.strip())
    return issue_document(drawn(issue, facts, binder(facts)), establishment, at=at, by=by)
