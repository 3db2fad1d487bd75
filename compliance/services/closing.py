"""Closing a job: the rules, the book, the signature and the certificate, in one transaction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db import transaction

from compliance.core.job import JobFacts
from compliance.core.legs import CanBook, CylinderIn, legs_for
from compliance.core.packs.words import JobRules
from compliance.core.rules import closing_findings, pack_findings
from compliance.core.stages import Outcome, StageKind
from compliance.models import Closing, Job, LightCan, OnTheCar
from compliance.queries.facts import job_facts, kept_apart, local, recovered, recovered_back
from compliance.queries.packs import job_rules, pack_answers
from compliance.queries.sheets import CanOnJob, Sheet, job_sheet
from compliance.queries.spares import spares_of
from compliance.services.certificates import drawn_certificate, keep_certificate
from compliance.services.chain import add_link
from compliance.services.stages import hold
from compliance.services.telling import tell_closed
from inventory.core.ledger import Leg, Purpose
from inventory.models import Movement, SpokenFor
from inventory.posting import post
from shop.core.canonical import canonical, sha256
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass
from shop.core.phrase import phrase
from shop.models import Person


@dataclass(frozen=True, slots=True)
class CloseIn:
    """``remark`` says why a charge outside the label is left so. The three stop fields end a job not charged.

    ``abandoned`` is the owner's way to close a job as it stands, when the customer or the car never came back.
    """

    remark: str = ""
    stopped: str = ""
    state_now: str = ""
    choice: str = ""
    abandoned: bool = False


def closing_problems(sheet: Sheet, close: CloseIn, *, by: Person) -> tuple[Finding, ...]:
    """What stands between this job and its signature, and what will be said on its paper. Writes nothing."""
    facts, rules = _facts(sheet, close, by), job_rules(sheet)
    return (*closing_findings(facts), *pack_findings(facts, rules.asked))


def signing_problems(sheet: Sheet, *, by: Person) -> tuple[Finding, ...]:
    """The same with what the signature itself asks first: that something was charged. For who does not see the page."""
    close = CloseIn()
    facts, asked = _facts(sheet, close, by), job_rules(sheet).asked
    return (*_stop_problems(close, facts, by), *closing_findings(facts), *pack_findings(facts, asked))


def _facts(sheet: Sheet, close: CloseIn, by: Person) -> JobFacts:
    facts = job_facts(
        sheet, stopped=close.stopped.strip(), remark=close.remark.strip(), owner_signs=by.is_owner
    )
    undecided = tuple(two.spare.says for two in spares_of(sheet.job).open)
    return replace(facts, answers=pack_answers(sheet), undecided=undecided)


@transaction.atomic
def close_job(job: Job, close: CloseIn, *, today: date, at: datetime, by: Person) -> Closing:
    """Sign a job. Raises ``Refused`` with every finding when one blocks: the job then stays open, nothing is written.

    Posts the job's movements, writes the closing with its place in the chain, and issues the certificate.
    """
    _hold(job)
    sheet = job_sheet(job)
    facts = _facts(sheet, close, by)
    rules = job_rules(sheet)
    findings = [*_stop_problems(close, facts, by), *closing_findings(facts)]
    asked = pack_findings(facts, rules.asked)
    refuse_if_blocked([*findings, *asked])
    day = _work_day(sheet)
    entry = post(
        job.establishment,
        job_legs(sheet, facts, Movement.objects.balances([one.container_id for one in sheet.mischarges])),
        on=day,
        late=today,
        text=f"{job.number} {'not charged' if close.stopped else 'closed'}",
        at=at,
        by=by,
    )
    written = canonical(_signed(facts, close, [*findings, *asked], rules))
    paper = drawn_certificate(sheet, facts, close, findings, rules, on=day, at=at, by=by)
    seals = {"closing": job.number, "closing_sha256": sha256(written)} | paper.seals
    link = add_link(job.establishment, canonical(seals), at=at, by=by)
    closing = Closing.objects.create(
        job=job, entry=entry, charged=facts.charged, on=day, facts=written, link=link, at=at, by=by
    )
    certificate = keep_certificate(paper, closing, link, at=at, by=by)
    tell_closed(closing, facts, certificate)
    OnTheCar.objects.filter(job=job).delete()
    SpokenFor.objects.filter(holder=job.number, container__establishment=job.establishment).delete()
    return closing


def _hold(job: Job) -> None:
    """Lock the job, then look: PostgreSQL shows what was committed while we waited only to a later question."""
    hold(job)
    if Closing.objects.filter(job=job).exists():
        refuse_if_blocked([blocked("job-closed", phrase("{job} is already closed.", job=job.number), "")])


def _stop_problems(close: CloseIn, facts: JobFacts, by: Person) -> list[Finding]:
    if close.abandoned and not by.is_owner:
        sentence = phrase("Only the owner closes a job as abandoned.")
        return [blocked("abandoned-owner", sentence, "abandoned")]
    if not close.stopped.strip():
        if facts.reconciliation is None:
            sentence = phrase(
                "No can was weighed. Charge the car, or close the job as not charged and say why."
            )
            return [blocked("nothing-charged", sentence, "stopped")]
        return []
    found = []
    if not close.state_now.strip():
        found.append(
            blocked(
                "state-empty",
                phrase("Say what is true of the car now, for example: empty, ports capped."),
                "state_now",
            )
        )
    if not close.choice.strip():
        found.append(
            blocked("choice-empty", phrase("Say what the customer chose, and how they said so."), "choice")
        )
    return found


def _work_day(sheet: Sheet) -> date:
    """A job belongs to the day of its charge; a job not charged to the day of its last stage."""
    done = [stage for stage in sheet.written if stage.outcome == Outcome.DONE]
    charge = [stage for stage in done if stage.kind == StageKind.CHARGE]
    newest = max((charge or done), key=lambda stage: stage.at)
    return local(sheet.job.establishment, newest.at).date()


def job_legs(sheet: Sheet, facts: JobFacts, held: dict[str, Mass]) -> tuple[Leg, ...]:
    """The movements of a job. ``held`` is what the book had in its cans of another refrigerant before it."""
    back = {recovery.pk for recovery in recovered_back(sheet)}
    cylinders = [
        CylinderIn(
            recovery.cylinder_id,
            recovered(recovery),
            back=recovery.pk in back,
            mixed=kept_apart(recovery),
        )
        for recovery in sheet.recoveries
    ]
    cans = [_can_book(can) for can in sheet.cans]
    return (*_wrong_legs(sheet, held), *legs_for(facts.reconciliation, cans, cylinders))


def _wrong_legs(sheet: Sheet, before: dict[str, Mass]) -> list[Leg]:
    """What went in from cans of another refrigerant; one that gave more than its book had gets the fill difference."""
    held, legs = dict(before), []
    for one in sheet.mischarges:
        out = one.before.gross - one.after.gross
        if out > held[one.container_id]:
            legs.append(Leg("fill difference", one.container_id, out - held[one.container_id], Purpose.FILL))
        legs.append(Leg(one.container_id, "vehicles", out, Purpose.CHARGED))
        held[one.container_id] = max(held[one.container_id] - out, ZERO)
    return legs


def _can_book(can: CanOnJob) -> CanBook:
    leaked = can.light is not None and can.light.why == LightCan.Why.LEAKED
    return CanBook(
        can.container.code,
        can.book,
        can.emptied,
        short=ZERO if leaked else can.lacked,
        leaked=can.lacked if leaked else ZERO,
        waited=can.lost_waiting,
    )


def _signed(
    facts: JobFacts, close: CloseIn, findings: Sequence[Finding], rules: JobRules
) -> dict[str, object]:
    sums = facts.reconciliation
    return {
        "job": facts.number,
        "refrigerant": facts.refrigerant,
        "stopped": close.stopped,
        "remark": close.remark,
        "draws": [
            [draw.code, draw.before.reading.text, draw.after.reading.text, draw.out.ug] for draw in sums.draws
        ]
        if sums
        else [],
        "vehicle_ug": sums.vehicle.ug if sums else 0,
        "recovered_ug": [recovery.out.ug for recovery in facts.recoveries],
        "findings": [[finding.code, finding.message] for finding in findings],
        "asked": rules.asked.signed() | {"state": rules.state},
    }
