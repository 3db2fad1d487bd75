"""Whether somebody may weigh a can onto this car at all, and at that time: the job, the card, the leak, the clock."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from compliance.core.charge_rules import SAID, TERMS
from compliance.core.rules.packs import NO_LEAK_CHECK, weight_of
from compliance.core.stages import LeakResult
from compliance.models import CanTicket
from compliance.queries.facts import local
from compliance.queries.packs import job_rules
from compliance.queries.sheets import CanOnJob, Sheet
from compliance.services.stages import still_open
from inventory.models import Container
from inventory.services import TicketIn
from shop.core.clock import milliseconds
from shop.core.findings import Finding, Weight, blocked
from shop.core.phrase import joined, phrase
from shop.core.rule_rows import Look
from shop.models import Person
from shop.queries import work_day


@dataclass(frozen=True, slots=True)
class WeighingIn:
    """One reading of one can. ``seen`` holds the codes of warnings that the person has read and answered with
    "keep it": a warning not in it is shown first. ``light`` answers why a sealed can was light; ``said_at`` is when
    it was read, if that is not now; ``uncertified`` names who charged without a 609 card."""

    container: Container
    ticket: TicketIn
    moment: CanTicket.Moment
    emptied: bool = False
    stays_on: bool = False
    seen: Collection[str] = ()
    light: str = ""
    said_at: datetime | None = None
    uncertified: str = ""


def may_charge(sheet: Sheet, weighing: WeighingIn, at: datetime, by: Person) -> list[Finding]:
    job, found = sheet.job, still_open(sheet.job)
    if not weighing.uncertified.strip():
        found += work_day(by, local(job.establishment, at).date()).findings
    return found


def may_begin(sheet: Sheet) -> list[Finding]:
    """What has to be answered before a can goes on this car."""
    found = []
    if sheet.leak_open is not None:
        sentence = phrase(
            "A leak was found: {detail}. Write down the repair, check again, or stop the job before charging.",
            detail=sheet.leak_open.detail or sheet.leak_open.places,
        )
        found.append(blocked("leak-unanswered", sentence, "", phrase("Shop rule")))
    if sheet.mischarge_open is not None:
        sentence = phrase(
            "{can} of another refrigerant went into this car. Recover all of it into a cylinder for unknown"
            " refrigerant and evacuate before charging.",
            can=sheet.mischarge_open.container_id,
        )
        found.append(blocked("mischarged", sentence, ""))
    return found + _asked_before_a_charge(sheet)


def _asked_before_a_charge(sheet: Sheet) -> list[Finding]:
    """A pack that wants leaks looked for first, and may stop, stops here and not only at the closing."""
    if any(check.result != LeakResult.NOT_TESTED for check in sheet.leak_checks):
        return []
    wanted = [one for one in job_rules(sheet).asked.gates() if one.rule.text("needs") == "leak-looked-for"]
    return [
        blocked(one.rule.code, joined(" ", [NO_LEAK_CHECK, one.sentence]), "", one.basis)
        for one in wanted
        if weight_of(one) is Weight.BLOCKS
    ]


def said_problems(sheet: Sheet, weighing: WeighingIn, mine: CanOnJob | None, at: datetime) -> list[Finding]:
    """A weight that was not weighed now: from the label of a sealed can, or read earlier and typed later."""
    earlier = mine.tickets[-1].at if mine is not None and mine.tickets else sheet.job.at
    said_at = weighing.said_at
    times = {
        "now": milliseconds(at),
        "earlier": milliseconds(earlier),
        "said_at": milliseconds(said_at) if said_at is not None else None,
    }
    return Look(TERMS, gate_facts(weighing, mine) | times).judge(SAID)


def gate_facts(weighing: WeighingIn, mine: CanOnJob | None) -> dict[str, object]:
    """What the rules about the can's turn are told: see compliance/core/charge_rules.py."""
    return {
        "can": weighing.container.code,
        "moment": weighing.moment.value,
        "origin": weighing.ticket.origin.value,
        "on_job": mine is not None,
        "on": mine is not None and mine.hanging,
        "seal": was_sealed(weighing.container, mine),
    }


def was_sealed(can: Container, mine: CanOnJob | None) -> bool:
    return mine is None and not can.tickets.exists()
