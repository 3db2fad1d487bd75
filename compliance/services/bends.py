"""What bends a job: what the customer said, who goes on with it, a can of another refrigerant that went in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from compliance.models import CustomerChoice, HandOver, Job, Mischarge
from compliance.queries.sheets import job_sheet
from compliance.services.stages import hold, still_open
from inventory.core.weighing import CanKind, Ticket, ticket_problems
from inventory.models import Container, SpokenFor
from inventory.services import TicketIn, weigh
from inventory.services.weighing import reading_problems
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO
from shop.core.phrase import phrase
from shop.models import Person


@dataclass(frozen=True, slots=True)
class ChoiceIn:
    """What the customer said, who answered, and how: by phone, at the counter, in writing."""

    what: str
    who: str
    how: str
    note: str = ""


@transaction.atomic
def record_choice(job: Job, choice: ChoiceIn, *, at: datetime, by: Person) -> CustomerChoice:
    """Write down what the customer chose. They may change their mind: the newest holds, all are kept."""
    found = still_open(job)
    if choice.what not in CustomerChoice.What.values:
        found.append(blocked("choice-unknown", phrase("Choose what the customer said."), "what"))
    if len(choice.who.strip()) < 2:
        found.append(blocked("who-empty", phrase("Type who answered."), "who"))
    if len(choice.how.strip()) < 2:
        found.append(blocked("how-empty", phrase("Say how: by phone, at the counter, in writing."), "how"))
    refuse_if_blocked(found)
    return CustomerChoice.objects.create(
        job=job,
        what=choice.what,
        who=choice.who.strip(),
        how=choice.how.strip(),
        note=choice.note.strip(),
        at=at,
        by=by,
    )


@transaction.atomic
def hand_over(job: Job, *, to: Person, note: str, at: datetime, by: Person) -> HandOver:
    """Give the job to somebody else. Nothing is locked: each stage is signed by whoever does it."""
    found = still_open(job)
    if to.establishment_id != job.establishment_id or not to.is_active:
        found.append(blocked("hand-over-whom", phrase("Choose somebody who works here."), "to"))
    elif to.pk == by.pk:
        found.append(
            blocked("hand-over-self", phrase("You have the job already. Choose somebody else."), "to")
        )
    if not note.strip():
        found.append(blocked("note-empty", phrase("Say in a few words how it stands."), "note"))
    refuse_if_blocked(found)
    return HandOver.objects.create(job=job, to=to, note=note.strip(), at=at, by=by)


@dataclass(frozen=True, slots=True)
class MischargeIn:
    """A can of another refrigerant, as it weighed before it went on the car and as it weighs now."""

    container: Container
    before: TicketIn
    after: TicketIn


@transaction.atomic
def record_mischarge(job: Job, wrong: MischargeIn, *, at: datetime, by: Person) -> Mischarge:
    """Say that a can of another refrigerant went into this car. It is written by anybody: the truth needs no card.

    The job cannot end as charged until all was recovered as unknown and the system evacuated again.
    """
    hold(job)
    refuse_if_blocked(_mischarge_problems(job, wrong))
    before = weigh(wrong.container, wrong.before, at=at, by=by)
    after = weigh(wrong.container, wrong.after, at=at, by=by)
    SpokenFor.objects.get_or_create(container=wrong.container, holder=job.number)
    return Mischarge.objects.create(
        job=job, container=wrong.container, before=before, after=after, at=at, by=by
    )


def _mischarge_problems(job: Job, wrong: MischargeIn) -> list[Finding]:
    can, sheet, found = wrong.container, job_sheet(job), still_open(job)
    if can.kind != "can" or can.refrigerant_id == sheet.refrigerant:
        sentence = phrase(
            "{can} is {holds}, which this car takes. Weigh it on the charge page.",
            can=can.code,
            holds=can.refrigerant_id,
        )
        return [*found, blocked("same-refrigerant", sentence, "container")]
    if can.spoken_for.exclude(holder=job.number).exists():
        sentence = phrase("{can} belongs to another open job. Weigh it there first.", can=can.code)
        return [*found, blocked("spoken-for", sentence, "container")]
    found += [one for one in reading_problems(can, wrong.before, field="before") if one.blocks]
    kind = can.can.type
    found += ticket_problems(
        Ticket(wrong.after.reading, wrong.after.scale.division, wrong.after.style),
        kind=CanKind(kind.net, kind.shell, float(kind.shell_spread_g)),
        can=can.code,
        previous=Ticket(wrong.before.reading, wrong.before.scale.division, wrong.before.style),
        sealed=False,
        first_in_job=False,
        field="after",
    )
    if wrong.before.reading.mass - wrong.after.reading.mass <= ZERO:
        sentence = phrase("Nothing left {can}. Then nothing went in: put the can back.", can=can.code)
        found.append(blocked("nothing-went-in", sentence, "after"))
    return found
