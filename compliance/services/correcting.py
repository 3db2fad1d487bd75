"""A correction slip: what was wrong on a closed job, put right without an edit. Old and new stay readable."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db import transaction

from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.certificate_notes import CorrectionFacts
from compliance.core.correcting import difference, in_order, passed_on
from compliance.core.job import JobFacts
from compliance.core.reconcile import Reconciliation
from compliance.core.rules import closing_findings
from compliance.core.wording import day
from compliance.models import (
    Certificate,
    Closing,
    CorrectedField,
    Correction,
    Document,
    DoerPutRight,
    Job,
    UsageReport,
)
from compliance.queries.certificate_facts import certificate_facts
from compliance.queries.cleared import cleared_problems
from compliance.queries.correcting import booked_legs, closed_sheet, settled_since, touched_reports
from compliance.queries.corrections import corrections_printed, spots
from compliance.queries.doers import DoerSpot
from compliance.queries.facts import job_facts, local, reconciliation
from compliance.queries.packs import pack_answers
from compliance.queries.sheets import Sheet
from compliance.queries.spots import Spot
from compliance.services.chain import add_link
from compliance.services.closing import job_legs
from compliance.services.corrections_refused import (
    change_problems,
    doer_problems,
    label_problems,
    mass_problems,
    slip_problems,
)
from compliance.services.documents import (
    Issue,
    check_url,
    drawn,
    keep_document,
    refuse_if_not_newest,
    replaces_line,
)
from compliance.services.finding import findable_correction
from compliance.services.stages import hold
from inventory.core.ledger import Leg
from inventory.models import Entry, TicketPutRight
from inventory.posting import post
from shop.core.canonical import canonical, rebuild, sha256
from shop.core.days import said_day
from shop.core.findings import Finding, refuse_if_blocked
from shop.core.mass import Mass
from shop.core.phrase import joined, phrase
from shop.models import Person
from shop.services import next_number
from shop.services.finding import make_findable


@dataclass(frozen=True, slots=True)
class Change:
    """One thing to put right: its key, how it reads to whoever corrects it, and what should stand there.

    ``unit`` is asked for when it is a mass. ``old`` guards against a slip that came in between.
    """

    key: str
    old: str
    text: str
    unit: str = ""


@dataclass(frozen=True)
class Outlook:
    """What a correction would do: shown before it is signed, and done when it is."""

    changed: tuple[tuple[Spot, str, str], ...]  # what, as it stands, as it should stand
    before: Reconciliation | None
    after: Reconciliation | None
    legs: tuple[Leg, ...]
    findings: tuple[Finding, ...]
    paper: Document  # that a new version takes the place of
    reports: tuple[UsageReport, ...]  # signed ones, which stay as signed
    sheet: Sheet
    facts: JobFacts


def look_at_correction(job: Job, changes: Sequence[Change], *, why: str, by: Person) -> Outlook:
    """What a slip with these changes would do. Raises ``Refused`` with everything that stands against it; writes
    nothing."""
    closing = Closing.objects.select_related("job__establishment").filter(job=job).first()
    found = slip_problems(job, closing, [change.key for change in changes], why=why, by=by)
    refuse_if_blocked([*found, *cleared_problems(job)])
    assert closing is not None  # noqa: S101 - refused above
    sheet, _ = closed_sheet(closing)
    before = reconciliation(sheet)
    sheet, wrong = closed_sheet(closing)  # anew: the sum before keeps the old readings
    places = {spot.key: spot for spot in spots(sheet)}
    refuse_if_blocked(
        finding
        for change in changes
        for finding in change_problems(
            places.get(change.key), change.key, change.old, change.text, change.unit
        )
    )
    changed = []
    for change in changes:
        spot, old = places[change.key], places[change.key].shown
        spot.put(change.text.strip(), change.unit)
        changed.append((spot, old, spot.shown))
    mine = [one[0] for one in changed]
    refuse_if_blocked([*label_problems(sheet, mine), *doer_problems(sheet, mine)])
    facts = _facts(sheet, closing, why, by)
    findings = refuse_if_blocked([*mass_problems(sheet, closing, mine), *closing_findings(facts)])
    legs = _legs(sheet, facts, closing, wrong, changed)
    paper = closing.certificates.select_related("document").order_by("-document__version")[0].document
    refuse_if_not_newest(paper, why)
    after = facts.reconciliation
    return Outlook(
        tuple(changed), before, after, legs, findings, paper, tuple(touched_reports(closing)), sheet, facts
    )


@transaction.atomic
def correct_job(
    job: Job, changes: Sequence[Change], *, why: str, on: date, at: datetime, by: Person
) -> Correction:
    """Sign a correction slip. Raises ``Refused`` with every finding; nothing is written then.

    The closing, its papers and its entry stay as they are. The book moves the difference on the day of the slip, and
    the certificate gets a next version that prints old, new, who, when and why.
    """
    hold(job)
    outlook = look_at_correction(job, changes, why=why, by=by)
    closing, shop = outlook.paper.certificate.closing, job.establishment
    number = f"CS{on:%y}-{next_number(f'CS{on:%y}', shop, by=by):04d}"
    entry = _booked(outlook, f"{number}: {job.number} corrected", shop_day=on, at=at, by=by)
    written = canonical(_signed(number, outlook, why, by, at))
    issue, facts = _next_version(outlook, closing, number, why, at=at, by=by)
    paper = drawn(issue, facts, certificate(facts))
    seals = {"correction": number, "correction_sha256": sha256(written)} | paper.seals
    link = add_link(shop, canonical(seals), at=at, by=by)
    document = keep_document(paper, link, at=at, by=by)
    Certificate.objects.create(document=document, closing=closing)
    slip = Correction.objects.create(
        establishment=shop, number=number, closing=closing, why=why.strip(), entry=entry, facts=written,
        link=link, document=document, at=at, by=by,
    )  # fmt: skip
    _keep_fields(slip, outlook)
    make_findable(shop, *findable_correction(slip))
    return slip


def _facts(sheet: Sheet, closing: Closing, why: str, by: Person) -> JobFacts:
    """The closing rules see the job as it was closed; what a slip finds outside the label is explained by its why."""
    signed = json.loads(closing.facts)
    facts = job_facts(
        sheet,
        stopped=signed["stopped"].strip(),
        remark=signed["remark"].strip() or why.strip(),
        owner_signs=by.is_owner,
    )
    return replace(facts, answers=pack_answers(sheet))


def _legs(
    sheet: Sheet,
    facts: JobFacts,
    closing: Closing,
    wrong: dict[str, Mass],
    changed: Sequence[tuple[Spot, str, str]],
) -> tuple[Leg, ...]:
    if not any(spot.moves_mass for spot, _, _ in changed):
        return ()
    legs = difference(booked_legs(closing), job_legs(sheet, facts, wrong))
    inside = {can.container.code for can in sheet.cans} | {one.cylinder_id for one in sheet.recoveries}
    settled = settled_since(closing, sorted(inside))
    return in_order(difference((), [*legs, *passed_on(legs, settled)]), inside)


def _booked(outlook: Outlook, text: str, *, shop_day: date, at: datetime, by: Person) -> Entry | None:
    if not outlook.legs:
        return None
    shop = outlook.sheet.job.establishment
    return post(shop, outlook.legs, on=shop_day, text=text, at=at, by=by)


def _next_version(
    outlook: Outlook, closing: Closing, number: str, why: str, *, at: datetime, by: Person
) -> tuple[Issue, CertificateFacts]:
    old = outlook.paper
    first = rebuild(CertificateFacts, old.facts)
    version, stop = old.version + 1, first.stop
    when = local(closing.job.establishment, at)
    signed = f"{by.name}, {day(when.isoformat())}"
    changed = "; ".join(f"{spot.words} {was or '–'} → {now or '–'}" for spot, was, now in outlook.changed)
    printed = certificate_facts(
        outlook.sheet,
        outlook.facts,
        outlook.findings,
        number=old.number,
        check_url=check_url(old.number, version),
        stop=(stop.why, stop.state_now, stop.choice) if stop is not None else None,
        at=closing.at,
        by=closing.by,
    )
    mine = tuple(
        CorrectionFacts(
            number, spot.words, was, now, why.strip(), by.name, when.isoformat(timespec="minutes")
        )
        for spot, was, now in outlook.changed
    )
    facts = replace(
        printed,
        version=version,
        rules_looked_at=first.rules_looked_at,
        asked=first.asked,
        made_at=when.isoformat(timespec="minutes"),
        replaces=replaces_line(old, f"Changed: {changed}", why, f"Slip {number}, {signed}"),
        corrections=(*corrections_printed(closing), *mine),
        remarks=(*printed.remarks, *_after_hold(closing.job, number)),
    )
    issue = Issue(Document.Kind.CERTIFICATE, old.number, version, old.dated, f"{why.strip()} ({number})", old)
    return issue, facts


def _after_hold(job: Job, number: str) -> tuple[str, ...]:
    """Nothing is changed on a job on hold without being seen to be."""
    held = job.holds.filter(end=None).first()
    if held is None:
        return ()
    day = local(job.establishment, held.at)
    return (
        phrase("{slip} was signed after this job was put on hold on {day}.", slip=number, day=said_day(day)),
    )


def _signed(number: str, outlook: Outlook, why: str, by: Person, at: datetime) -> dict[str, object]:
    return {
        "slip": number,
        "job": outlook.sheet.job.number,
        "why": why.strip(),
        "by": by.username,
        "at": at.isoformat(),
        "fields": [[spot.key, was, now] for spot, was, now in outlook.changed],
        "vehicle_ug": outlook.after.vehicle.ug if outlook.after is not None else 0,
        "legs": [[leg.source, leg.target, leg.mass.ug, leg.purpose.value] for leg in outlook.legs],
    }


def _keep_fields(slip: Correction, outlook: Outlook) -> None:
    for spot, was, _ in outlook.changed:
        field = CorrectedField.objects.create(
            correction=slip,
            key=spot.key,
            label=joined(": ", [spot.group, spot.label]),
            stage=spot.stage,
            ticket=spot.ticket,
            old=was,
            new=spot.text,
            unit=spot.unit if spot.text else "",
        )
        if isinstance(spot, DoerSpot):
            person, name = spot.stands()
            DoerPutRight.objects.create(field=field, person=person, name=name)
        if spot.ticket is not None:
            TicketPutRight.objects.create(
                ticket=spot.ticket, slip=slip.number, reading_text=spot.text, reading_unit=spot.unit,
                gross=spot.ticket.gross, at=slip.at, by=slip.by,
            )  # fmt: skip
