"""The charge, can by can: every reading checked against what that can should weigh, then written as a ticket."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from django.db import IntegrityError, transaction

from compliance.core.stages import StageKind
from compliance.models import CanTicket, Charge, Closing, Job, OnTheCar, Retyping
from compliance.queries.facts import local, ticket_facts
from compliance.queries.sheets import CanOnJob, Sheet, job_sheet
from compliance.services.stages import write_stage
from inventory.core.weighing import CanKind, Suggestion, Ticket, likely_reading, ticket_problems
from inventory.models import Container, SpokenFor
from inventory.queries import last_ticket
from inventory.services import TicketIn, weigh
from shop.core.findings import Finding, Refused, Weight, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass, grams
from shop.core.phrase import phrase
from shop.core.reading import read_mass
from shop.models import Person
from shop.queries import work_day


@dataclass(frozen=True, slots=True)
class WeighingIn:
    """One reading of one can. ``seen`` holds the codes of warnings that the person has read and answered with
    "keep it": a warning not in it is shown first."""

    container: Container
    ticket: TicketIn
    moment: CanTicket.Moment
    emptied: bool = False
    stays_on: bool = False
    seen: Collection[str] = ()


@dataclass(frozen=True, slots=True)
class ChargeIn:
    """``purge`` is what was purged, ``released`` what got away and why."""

    hoses: Mass
    hoses_give_or_take: Mass
    purge: Mass = ZERO
    released: Mass = ZERO
    released_why: str = ""


@transaction.atomic
def weigh_can(job: Job, weighing: WeighingIn, *, at: datetime, by: Person) -> CanTicket:
    """Put a can's reading on the job. Raises ``Refused`` with every slip it sees; nothing is written then."""
    sheet = job_sheet(job)
    mine = next((can for can in sheet.cans if can.container.pk == weighing.container.pk), None)
    found = [*_may_charge(job, at, by), *_can_problems(sheet, weighing, mine)]
    refuse_if_blocked(found)
    found += _reading_problems(weighing, mine)
    _refuse_unseen(found, weighing.seen)
    if mine is None or not mine.hanging:
        _hang(job, weighing.container, at=at, by=by)
        SpokenFor.objects.get_or_create(container=weighing.container, holder=job.number)
    written = _write(job, weighing, sealed=_sealed(weighing.container, mine), at=at, by=by)
    if weighing.moment == CanTicket.Moment.AFTER and not weighing.stays_on:
        OnTheCar.objects.filter(container=weighing.container, job=job).delete()
    return written


@transaction.atomic
def retype_ticket(old: CanTicket, weighing: WeighingIn, *, at: datetime, by: Person) -> CanTicket:
    """Type a ticket of an open job again. The old number stays readable behind the new one."""
    job = old.job
    sheet = job_sheet(job)
    mine = next((can for can in sheet.cans if any(row.pk == old.pk for row in can.tickets)), None)
    found = _may_charge(job, at, by)
    if mine is None or old.ticket.container_id != weighing.container.pk:
        found.append(
            blocked(
                "ticket-retyped", phrase("This ticket was typed again already. Look at the newest one."), ""
            )
        )
    refuse_if_blocked(found)
    assert mine is not None  # noqa: S101 - refused above
    place = next(number for number, row in enumerate(mine.tickets) if row.pk == old.pk)
    before = CanOnJob(mine.container, mine.tickets[:place], mine.previous, mine.book, mine.hanging)
    _refuse_unseen(_reading_problems(weighing, before), weighing.seen)
    new = _write(job, weighing, sealed=old.sealed, at=at, by=by)
    Retyping.objects.create(old=old, new=new, at=at, by=by)
    return new


@transaction.atomic
def finish_charge(job: Job, charge: ChargeIn, *, at: datetime, by: Person) -> Charge:
    """Say what did not stay in the car: hoses, purge, released. The sum itself is made from the tickets."""
    found = []
    if not job.can_tickets.exists():
        found.append(blocked("no-can", phrase("Weigh a can first. Or say why no charge is needed."), ""))
    for name, mass, most in (
        ("hoses", charge.hoses, 60),
        ("purge", charge.purge, 50),
        ("released", charge.released, 3000),
    ):
        if not ZERO <= mass <= grams(most):
            found.append(blocked(f"{name}-absurd", phrase("Type 0 to {most} g.", most=most), name))
    if charge.released > ZERO and not charge.released_why.strip():
        found.append(blocked("released-why", phrase("Say what happened and what was done."), "released_why"))
    refuse_if_blocked(found)
    stage = write_stage(job, StageKind.CHARGE, at=at, by=by)
    return Charge.objects.create(
        stage=stage,
        hoses=charge.hoses,
        hoses_give_or_take=charge.hoses_give_or_take,
        purge=charge.purge,
        released=charge.released,
        released_why=charge.released_why.strip(),
    )


def _may_charge(job: Job, at: datetime, by: Person) -> list[Finding]:
    found: list[Finding] = []
    if Closing.objects.filter(job=job).exists():
        found.append(
            blocked(
                "job-closed", phrase("{job} is closed. A change needs a correction slip.", job=job.number), ""
            )
        )
    found += work_day(by, local(job.establishment, at).date()).findings
    return found


def _can_problems(sheet: Sheet, weighing: WeighingIn, mine: CanOnJob | None) -> list[Finding]:
    can = weighing.container
    found = []
    if can.kind != "can" or can.refrigerant_id != sheet.refrigerant:
        sentence = phrase(
            "{can} is {holds}. This car takes {refrigerant}. Put it back.",
            can=can.code,
            holds=can.refrigerant_id,
            refrigerant=sheet.refrigerant,
        )
        found.append(blocked("wrong-refrigerant", sentence, "container"))
    if hasattr(can, "fate"):
        sentence = phrase(
            "{can} is out of use ({fate}). Take another can.",
            can=can.code,
            fate=can.fate.get_what_display().lower(),
        )
        found.append(blocked("can-out-of-use", sentence, "container"))
    if mine is None and weighing.moment != CanTicket.Moment.BEFORE:
        sentence = phrase(
            "{can} has no weight from before on this job. Weigh it before it goes on the car.", can=can.code
        )
        found.append(blocked("no-before", sentence, "moment"))
    if mine is not None and not mine.hanging and weighing.moment != CanTicket.Moment.BEFORE:
        sentence = phrase(
            "{can} is off the car and weighed. To put that weight right, use Type again beside its ticket.",
            can=can.code,
        )
        found.append(blocked("can-off-the-car", sentence, "container"))
    found += _used_elsewhere(sheet.job, can, mine)
    elsewhere = (
        OnTheCar.objects.filter(container=can).exclude(job=sheet.job).select_related("job", "by").first()
    )
    if elsewhere is not None:
        sentence = phrase(
            "{can} is on {job} since {since:%H:%M} with {by}. It needs a weight there first.",
            can=can.code,
            job=elsewhere.job.number,
            since=local(sheet.job.establishment, elsewhere.since),
            by=elsewhere.by.name,
        )
        found.append(blocked("can-elsewhere", sentence, "container"))
    return found


def _used_elsewhere(job: Job, can: Container, mine: CanOnJob | None) -> list[Finding]:
    """A can that came off this car and was weighed for something else since does not go on it again."""
    last = last_ticket(can)
    if mine is None or last is None or CanTicket.objects.filter(job=job, ticket=last).exists():
        return []
    sentence = phrase(
        "{can} was weighed for something else since it came off this car. Take another can.", can=can.code
    )
    return [blocked("can-used-since", sentence, "container")]


def _sealed(can: Container, mine: CanOnJob | None) -> bool:
    return mine is None and not can.tickets.exists()


def _compared(weighing: WeighingIn, mine: CanOnJob | None) -> tuple[Ticket, CanKind, Ticket | None, bool]:
    """The reading, its kind of can, the can's ticket before it, and whether that is from another day or job."""
    can, first = weighing.container, mine is None or not mine.tickets
    if mine is not None and mine.tickets:
        previous: Ticket | None = ticket_facts(mine.tickets[-1].ticket)
    else:
        earlier = mine.previous if mine is not None else last_ticket(can)
        previous = ticket_facts(earlier) if earlier is not None else None
    said, kind = weighing.ticket, can.can.type
    ticket = Ticket(said.reading, said.scale.division, said.style, said.origin)
    return ticket, CanKind(kind.net, kind.shell, float(kind.shell_spread_g)), previous, first


def _reading_problems(weighing: WeighingIn, mine: CanOnJob | None) -> list[Finding]:
    """Compare the reading with the can's ticket before it, on this job or, for its first weighing here, on the last."""
    ticket, kind, previous, first = _compared(weighing, mine)
    found = ticket_problems(
        ticket,
        kind=kind,
        can=weighing.container.code,
        previous=previous,
        sealed=first and previous is None,
        first_in_job=first,
    )
    reading, scale = ticket.reading, weighing.ticket.scale
    if reading.unit == scale.unit and not any(one.code == "unit-slip" for one in found):
        found += read_mass(reading.text, reading.unit, division=scale.division)[1]
    return found


def likely_weighing(job: Job, weighing: WeighingIn, *, by: Person) -> Suggestion | None:
    """What was probably meant when a reading fits this can in another unit only. Writes nothing."""
    mine = next((can for can in job_sheet(job).cans if can.container.pk == weighing.container.pk), None)
    ticket, kind, previous, _ = _compared(weighing, mine)
    return likely_reading(ticket, kind, previous)


def _refuse_unseen(found: list[Finding], seen: Collection[str]) -> None:
    if any(one.blocks or (one.weight is Weight.WARNS and one.code not in seen) for one in found):
        raise Refused(found)


def _hang(job: Job, can: Container, *, at: datetime, by: Person) -> None:
    try:
        with transaction.atomic():
            OnTheCar.objects.create(container=can, job=job, since=at, by=by)
    except IntegrityError:
        refuse_if_blocked(
            [
                blocked(
                    "can-elsewhere", phrase("{can} was just put on another car.", can=can.code), "container"
                )
            ]
        )
        raise


def _write(job: Job, weighing: WeighingIn, *, sealed: bool, at: datetime, by: Person) -> CanTicket:
    ticket = weigh(weighing.container, weighing.ticket, at=at, by=by)
    return CanTicket.objects.create(
        job=job,
        ticket=ticket,
        moment=weighing.moment,
        sealed=sealed,
        emptied=weighing.emptied,
        at=at,
        by=by,
    )
