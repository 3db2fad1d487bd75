"""Recovery: what came out of the car, weighed in the cylinder before and after."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import Max

from compliance.core.stages import Identified, StageKind
from compliance.models import Job, Recovery
from compliance.queries.facts import checked_in_refrigerant
from compliance.services.stages import before_the_car, write_stage
from inventory.core.refrigerants import UNKNOWN
from inventory.core.requalification import filling_findings
from inventory.models import Container, Movement, SpokenFor
from inventory.queries import cylinder_room, last_ticket
from inventory.services import TicketIn, weigh
from inventory.services.holds import not_to_be_used
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.gauge import temperature_shown
from shop.core.mass import Mass, Reading, Unit, grams
from shop.core.phrase import phrase
from shop.models import Equipment, Person
from shop.queries import rules_on

STAMP_ROUNDING = grams(50)  # tares are stamped to a tenth of a pound
UNIT_SLIP = grams(500)  # a cylinder that jumps by more between two weighings was read in another unit


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
    cylinder, out = recovery.cylinder, recovery.after.mass - recovery.before.mass
    found = [*_gas_problems(job, recovery, refrigerant), *not_to_be_used(cylinder, "cylinder")]
    found += before_the_car(job, recovery.started_at, "started_at")
    if out < Mass(0):
        sentence = phrase(
            "The cylinder got lighter. Is it the right cylinder, and are both numbers in the same unit?"
        )
        found.append(blocked("cylinder-lighter", sentence, "after"))
    if out == Mass(0) and not recovery.gauge.strip():
        sentence = phrase("Nothing came out: type what the gauge showed before, with its unit.")
        found.append(blocked("gauge-empty", sentence, "gauge"))
    if out > grams(5000):
        sentence = phrase(
            "{out} g out of one car is more than any holds. Check both numbers and the unit.",
            out=out.rounded(Unit.G, 0),
        )
        found.append(blocked("recovered-absurd", sentence, "after"))
    if recovery.started_at > at:
        sentence = phrase("The start lies after now. Check the clock times.")
        found.append(blocked("started-later", sentence, "started_at"))
    if recovery.bay.strip() and temperature_shown(recovery.bay) is None:
        sentence = phrase("“{bay}” is no temperature. Type the number in °F or °C.", bay=recovery.bay.strip())
        found.append(blocked("temperature-unread", sentence, "bay"))
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
    if recovery.before.mass + STAMP_ROUNDING < stamps.tare:
        sentence = phrase(
            "{code} weighs less than its stamped tare ({tare_text} {tare_unit}). Check it.",
            code=code,
            tare_text=stamps.tare_text,
            tare_unit=stamps.tare_unit,
        )
        found.append(blocked("below-tare", sentence, "before"))
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
    last = last_ticket(recovery.cylinder)
    expected = last.gross if last is not None else stamps.tare + Movement.objects.balances([code])[code]
    if abs(recovery.before.mass - expected) > UNIT_SLIP:
        sentence = phrase(
            "{code} should weigh about {expected} g. Which unit does the scale show?",
            code=code,
            expected=expected.rounded(Unit.G, 0),
        )
        found.append(blocked("cylinder-unexpected", sentence, "before"))
    return found
