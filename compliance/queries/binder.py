"""From the records of a range of days to the facts of its inspection binder."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from django.conf import settings

from compliance.core.binder_check import attention
from compliance.core.binder_facts import (
    BinderFacts,
    CheckedLine,
    CorrectedLine,
    LookLine,
    MachineFacts,
    RuleLine,
    StatementLine,
    VisitLine,
)
from compliance.core.packs import Level
from compliance.core.usage_report_facts import UsageReportFacts
from compliance.models import CorrectedField, VisitEnd
from compliance.queries.binder_check import binder_check
from compliance.queries.binder_lines import (
    count_facts,
    facility_lines,
    held_lines,
    person_lines,
    shipment_lines,
    unweighed_lines,
)
from compliance.queries.certificate_facts import shop_facts
from compliance.queries.facts import local
from compliance.queries.packs import rules_asked
from compliance.queries.periods import usage_facts
from compliance.queries.statements import overview
from shop.core.period import Period
from shop.models import Check, Equipment, Establishment, Officer, Person
from shop.queries import equipment


def binder_facts(
    establishment: Establishment,
    period: Period,
    *,
    number: str = "",
    check_url: str = "",
    why: str = "",
    at: datetime,
    by: Person,
) -> BinderFacts:
    """Everything a binder says, read once."""
    today = local(establishment, at).date()
    days = (period.first, period.last)
    rules = rules_asked(establishment, period.last)
    uncovered, people = person_lines(establishment, period)
    lines = binder_check(establishment, period, today=today)
    owners = Person.objects.at(establishment).filter(role="owner", is_active=True)
    officers = Officer.objects.filter(person__establishment=establishment, person__is_active=True)
    pieces = [one for one in equipment(establishment) if _stood(one, period)]
    return BinderFacts(
        number=number,
        first=period.first.isoformat(),
        last=period.last.isoformat(),
        made_at=local(establishment, at).isoformat(timespec="minutes"),
        made_by=by.name,
        shop=shop_facts(establishment),
        legal_name=establishment.legal_name,
        owners=tuple(owners.values_list("name", flat=True)),
        officers=tuple(f"{one.person.name}, {one.title}" for one in officers.select_related("person")),
        looks=tuple(LookLine(one.title, one.state.value, one.sentence) for one in attention(lines)),
        people=people,
        uncovered=uncovered,
        statements=tuple(_statements(establishment, period)),
        equipment=tuple(_machine(one) for one in pieces),
        checks=tuple(_check(one) for one in _checks(establishment, period)),
        facilities=facility_lines(establishment, days),
        shipments=shipment_lines(establishment, days),
        held=held_lines(establishment),
        usage=_usage(establishment, period, at=at, by=by),
        unweighed=unweighed_lines(establishment, period),
        counts=count_facts(establishment, days),
        corrections=tuple(_corrections(establishment, period)),
        packs=rules.names,
        state_said=rules.state_said,
        rules=tuple(
            RuleLine(one.asked_by, one.rule.cite, one.sentence)
            for one in rules.asked.layers
            if one.pack.level is not Level.FEDERAL
        ),
        visits=tuple(_visits(establishment)),
        check_url=check_url,
        why=why,
        practice=settings.PRACTICE,
    )


def _usage(establishment: Establishment, period: Period, *, at: datetime, by: Person) -> UsageReportFacts:
    """The lists of a usage report; what its slips put right is left to the binder's own table, which tells no name."""
    facts = usage_facts(establishment, period, number="", version=0, check_url="", signed="", at=at, by=by)
    quiet = tuple(replace(line, what="", why="") for line in facts.corrections)
    return replace(facts, corrections=quiet)


def _stood(piece: Equipment, period: Period) -> bool:
    """Whether it was in service on some day of the range."""
    retired = piece.retirement.last_day if hasattr(piece, "retirement") else None
    return piece.in_service_on <= period.last and (retired is None or retired >= period.first)


def _statements(establishment: Establishment, period: Period) -> list[StatementLine]:
    lines = []
    for one in overview(establishment, period.last).machines:
        if not _stood(one.machine, period):
            continue
        piece, signed = one.machine, one.signed
        sent = signed.sent if signed else None
        plate = ", ".join(part for part in (piece.maker, piece.model, piece.made, piece.serial) if part)
        lines.append(
            StatementLine(
                code=piece.code,
                plate=plate,
                document=str(signed.document) if signed else "",
                signed_on=signed.document.dated.isoformat() if signed else "",
                signer=signed.facts.signer if signed else "",
                sent_on=sent.on.isoformat() if sent else "",
                how=sent.how if sent else "",
                address=sent.address if sent else "",
                proven=signed.proven if signed else False,
                earlier=tuple(f"{each.by.name} states: sent {each.when}, no copy" for each in one.earlier),
            )
        )
    return lines


def _machine(one: Equipment) -> MachineFacts:
    return MachineFacts(
        code=one.code,
        kind=one.kind,
        does=one.does if one.kind == Equipment.Kind.MACHINE else "",
        refrigerants=one.refrigerants,
        standard=one.standard,
        maker=one.maker,
        model=one.model,
        serial=one.serial,
        made=one.made,
        since=one.in_service_on.isoformat(),
        until=one.retirement.last_day.isoformat() if hasattr(one, "retirement") else "",
    )


def _checks(establishment: Establishment, period: Period) -> list[Check]:
    rows = Check.objects.filter(equipment__establishment=establishment, on__range=(period.first, period.last))
    return list(rows.select_related("equipment").order_by("on", "pk"))


def _check(one: Check) -> CheckedLine:
    off = one.error.ug if one.known.ug else None
    return CheckedLine(one.equipment.code, one.on.isoformat(), one.passed, one.against, off)


def _corrections(establishment: Establishment, period: Period) -> list[CorrectedLine]:
    """Field by field; a customer's name or phone that was put right is not told in a binder."""
    rows = CorrectedField.objects.filter(
        correction__establishment=establishment, correction__closing__on__range=(period.first, period.last)
    )
    kin = ("correction__closing__job", "correction__document", "correction__by")
    rows = rows.select_related(*kin).defer("correction__document__pdf", "correction__document__facts")
    return [
        CorrectedLine(
            slip=one.correction.number,
            job=one.correction.closing.job.number,
            what=one.label,
            old="" if _private(one) else one.old,
            new="" if _private(one) else one.shown,
            private=_private(one),
            why=one.correction.why,
            by=one.correction.by.name,
            at=local(establishment, one.correction.at).isoformat(timespec="minutes"),
            certificate=str(one.correction.document),
        )
        for one in rows.order_by("pk")
    ]


def _private(one: CorrectedField) -> bool:
    return "customer" in one.key or "phone" in one.key


def _visits(establishment: Establishment) -> list[VisitLine]:
    rows = VisitEnd.objects.filter(visit__establishment=establishment).select_related("visit")
    return [
        VisitLine(
            number=one.visit.number,
            day=local(establishment, one.visit.at).date().isoformat(),
            agency=one.visit.agency,
            why=one.visit.why,
            shown=one.visit.shown.count(),
            copies=one.visit.copies.count(),
            ended_at=local(establishment, one.at).isoformat(timespec="minutes"),
        )
        for one in rows.prefetch_related("visit__shown", "visit__copies").order_by("pk")
    ]
