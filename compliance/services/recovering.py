"""Recovery: what came out of the car, weighed in the cylinder before and after."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import Max

from compliance.core.stage_rules import CYLINDER, RECOVERY, TERMS
from compliance.core.stages import Identified, StageKind
from compliance.models import Job, Recovery
from compliance.queries.entry_rules import cylinder_facts
from compliance.queries.facts import checked_in_refrigerant
from compliance.services.stages import write_stage
from inventory.core.refrigerants import UNKNOWN
from inventory.core.requalification import filling_findings
from inventory.models import Container, SpokenFor
from inventory.queries import cylinder_room
from inventory.services import TicketIn, weigh
from inventory.services.holds import not_to_be_used
from shop.core.clock import milliseconds
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import Reading, Unit
from shop.core.phrase import phrase
from shop.core.rule_rows import Look
from shop.models import Equipment, Person
from shop.queries import rules_on


@dataclass(frozen=True, slots=True)
class RecoveryIn:
    """``turn`` is None for one more recovery, or the number of the one that is written down again."""

    machine: Equipment
    cylinder: Container
    scale: Equipment
    before: Reading
    after: Reading
    started_at: datetime
    note: str = ""
    turn: int | None = None
    gauge: str = ""
    identified: Identified = Identified.NOT_USED
    bay: str = ""


@transaction.atomic
def record_recovery(
    job: Job, recovery: RecoveryIn, *, uncertified: str = "", at: datetime, by: Person
) -> Recovery:
    """Weigh the cylinder before and after. 0 g out is a recovery too; a lighter cylinder is not.

    What an identifier calls mixed goes into a cylinder for unknown refrigerant, and nothing else goes in there.
    """
    refrigerant = checked_in_refrigerant(job)
    refuse_if_blocked(_recovery_problems(job, recovery, refrigerant, at))
    turns = job.stages.filter(kind=StageKind.RECOVERY).aggregate(newest=Max("turn"))["newest"] or 0
    stage = write_stage(
        job, StageKind.RECOVERY, turn=recovery.turn or turns + 1, uncertified=uncertified, at=at, by=by
    )
    SpokenFor.objects.get_or_create(container=recovery.cylinder, holder=job.number)
    before = weigh(
        recovery.cylinder, TicketIn(recovery.scale, recovery.before), at=recovery.started_at, by=by
    )
    after = weigh(recovery.cylinder, TicketIn(recovery.scale, recovery.after), at=at, by=by)
    return Recovery.objects.create(
        stage=stage,
        machine=recovery.machine,
        cylinder=recovery.cylinder,
        before=before,
        after=after,
        started_at=recovery.started_at,
        gauge=recovery.gauge.strip(),
        bay=recovery.bay.strip(),
        identified=recovery.identified,
        note=recovery.note.strip(),
    )


def _recovery_problems(job: Job, recovery: RecoveryIn, refrigerant: str, at: datetime) -> list[Finding]:
    cylinder = recovery.cylinder
    found = [*_gas_problems(job, recovery, refrigerant), *not_to_be_used(cylinder, "cylinder")]
    facts = {
        "before": recovery.before.mass.ug,
        "after": recovery.after.mass.ug,
        "gauge": recovery.gauge.strip(),
        "bay": recovery.bay.strip(),
        "started_at": milliseconds(recovery.started_at),
        "now": milliseconds(at),
    }
    found += Look(TERMS, facts).judge(RECOVERY)
    if cylinder.kind == "cylinder":
        found += _fill_problems(job, recovery)
    return found


def _gas_problems(job: Job, recovery: RecoveryIn, refrigerant: str) -> list[Finding]:
    """Whether this cylinder and this machine may take what is in the car."""
    cylinder, mixed = recovery.cylinder, hasattr(recovery.cylinder, "mixed")
    named = UNKNOWN if mixed else cylinder.refrigerant_id
    if recovery.identified is Identified.MIXED or job.mischarges.exists():
        if cylinder.kind == "cylinder" and named == UNKNOWN:
            return []
        sentence = phrase(
            "Mixed or unknown: into a cylinder kept for that, never into {cylinder}, which holds {holds}. Has the"
            " shop none? The owner enters one under Cabinet.",
            cylinder=cylinder.code,
            holds=cylinder.refrigerant_id,
        )
        return [blocked("mixed-into-good", sentence, "cylinder")]
    found = []
    if cylinder.kind != "cylinder" or named != refrigerant:
        sentence = phrase(
            "{cylinder} holds {holds}; this car has {refrigerant}. Pick another one.",
            cylinder=cylinder.code,
            holds=named,
            refrigerant=refrigerant,
        )
        found.append(blocked("cylinder-refrigerant", sentence, "cylinder"))
    if not recovery.machine.takes(refrigerant):
        sentence = phrase(
            "The plate of {machine} does not name {refrigerant}. Use a machine made for it.",
            machine=recovery.machine.code,
            refrigerant=refrigerant,
        )
        found.append(blocked("machine-refrigerant", sentence, "machine", "40 CFR 82.32(e)(1)"))
    return found


def _fill_problems(job: Job, recovery: RecoveryIn) -> list[Finding]:
    stamps, code = recovery.cylinder.cylinder, recovery.cylinder.code
    room = cylinder_room(
        recovery.cylinder,
        rules_on(job.establishment, job.on),
        gross=recovery.after.mass,
        division=recovery.scale.division,
    )
    years = rules_on(job.establishment, job.on).cylinder_years
    found = filling_findings(code, stamps.requalified_on, years, job.on, "cylinder")
    if room.is_over:
        sentence = phrase(
            "{code} would hold {net} g; its limit is {limit} g ({why}), less {doubt} g for the scale. Stop and change"
            " cylinder.",
            code=code,
            net=room.held.rounded(Unit.G, 0),
            limit=room.limit.rounded(Unit.G, 0),
            why=room.fill.why,
            doubt=room.doubt.rounded(Unit.G, 0),
        )
        found.append(blocked("cylinder-full", sentence, "after"))
    facts = cylinder_facts(recovery.cylinder) | {"before": recovery.before.mass.ug}
    return found + Look(TERMS, facts).judge(CYLINDER)
