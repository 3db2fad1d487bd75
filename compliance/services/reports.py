"""The usage report: a draft is only looked at, a signed one is frozen and closes its months."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.db import transaction

from compliance.core.usage_corrections import changes
from compliance.core.usage_report import usage_report
from compliance.core.usage_report_facts import UsageReportFacts
from compliance.models import Document, UsageReport
from compliance.queries.periods import stops_signing, unfinished, usage_facts
from compliance.services.documents import (
    Issue,
    check_url,
    drawn,
    issue_document,
    refuse_if_not_newest,
    replaces_line,
)
from compliance.services.telling import tell_signed
from inventory.services import close_months
from shop.core.canonical import rebuild
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.period import Period, period_problems
from shop.models import Establishment, Person
from shop.services import next_number


@dataclass(frozen=True, slots=True)
class _Version:
    number: str
    version: int
    replaces: Document | None = None
    why: str = ""
    co2e: str = ""


def draft_usage_report(
    establishment: Establishment, period: Period, *, co2e: str = "", today: date, at: datetime, by: Person
) -> UsageReportFacts:
    """The report as it would stand now, unsigned and unnumbered. Writes nothing. ``co2e`` names a table of factors."""
    refuse_if_blocked(period_problems(period.first, period.last, today=today))
    return usage_facts(
        establishment, period, number="", version=0, check_url="", signed="", co2e=co2e, at=at, by=by
    )


@transaction.atomic
def issue_usage_report(
    establishment: Establishment, period: Period, *, co2e: str = "", today: date, at: datetime, by: Person
) -> Document:
    """Sign the report of a period: freeze it, number it, close its months. Refused while one of its jobs is open.

    ``co2e`` is the key of the table by which its releases are weighed, or "" to leave that out.
    """
    refuse_if_blocked(report_problems(establishment, period, today=today))
    number = f"UR-{period.last:%y}-{next_number(f'UR-{period.last:%y}', establishment, by=by):02d}"
    return _signed(establishment, period, _Version(number, 1, co2e=co2e), at=at, by=by)


def report_problems(establishment: Establishment, period: Period, *, today: date) -> list[Finding]:
    """What stands between a period and the signature under its first report."""
    found = period_problems(period.first, period.last, today=today)
    if stops_signing(establishment, period):
        sentence = " ".join(unfinished(establishment, period)) + " Close the job first, then sign."
        found.append(blocked("job-open", sentence, ""))
    signed_before = UsageReport.objects.filter(
        document__establishment=establishment, first=period.first, last=period.last, document__withdrawal=None
    ).first()
    if signed_before is not None:
        sentence = (
            f"{signed_before.document.number} covers these days. Open it and reissue it with what changed."
        )
        found.append(blocked("report-exists", sentence, "first"))
    return found


@transaction.atomic
def reissue_usage_report(document: Document, *, why: str, at: datetime, by: Person) -> Document:
    """The same days again as the book stands now, by the same CO2e table, naming the version it replaces and why."""
    refuse_if_not_newest(document, why)
    report, before = document.usage_report, rebuild(UsageReportFacts, document.facts).co2e
    table = before.table if before is not None else ""
    version = _Version(document.number, document.version + 1, document, why.strip(), table)
    return _signed(document.establishment, Period(report.first, report.last), version, at=at, by=by)


def _signed(
    establishment: Establishment, period: Period, version: _Version, *, at: datetime, by: Person
) -> Document:
    old = version.replaces
    facts = usage_facts(
        establishment,
        period,
        number=version.number,
        version=version.version,
        check_url=check_url(version.number, version.version),
        signed=f"{by.name}, {by.get_role_display().lower()}, signed on as {by.username}",
        replaces=replaces_line(old, version.why) if old else "",
        co2e=version.co2e,
        at=at,
        by=by,
    )
    if old is not None:
        facts = replace(facts, changed=changes(rebuild(UsageReportFacts, old.facts), facts))
    issue = Issue(Document.Kind.USAGE_REPORT, version.number, version.version, period.last, version.why, old)
    document = issue_document(drawn(issue, facts, usage_report(facts)), establishment, at=at, by=by)
    UsageReport.objects.create(document=document, first=period.first, last=period.last)
    if (period.last + timedelta(days=1)).day == 1:
        close_months(establishment, last_day=period.last, at=at, by=by)
    tell_signed(document, facts)
    return document
