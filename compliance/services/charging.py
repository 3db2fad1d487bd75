"""The charge, can by can: every reading checked against what that can should weigh, then written as a ticket."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import IntegrityError, transaction

from compliance.core.stages import StageKind
from compliance.models import CanTicket, Charge, Draft, Job, LightCan, OnTheCar, Retyping
from compliance.queries.facts import local
from compliance.queries.sheets import CanOnJob, job_sheet
from compliance.services.gates import WeighingIn, may_charge, said_problems, was_sealed
from compliance.services.readings import (
    answered,
    can_on,
    reading_problems,
    who_and_which,
)
from compliance.services.stages import hold, write_stage
from inventory.core.weighing import Origin, Style
from inventory.models import Container, SpokenFor, TicketSetAside
from inventory.services import TicketIn, weigh
from shop.core.findings import Finding, Refused, Weight, blocked, refuse_if_blocked
from shop.core.house import HouseRules
from shop.core.mass import ZERO, Mass, grams
from shop.core.phrase import phrase
from shop.models import Person
from shop.queries import work_day

# Questions that were answered when the number was read; asked again of another can they would only stand in the way.
SEEN_WHEN_REFILED = ("overcharge", "other-can-on", "lost-waiting", "mass-between-divisions")


@dataclass(frozen=True, slots=True)
class ChargeIn:
    """``purge`` is what was purged, ``released`` what got away and why."""

    hoses: Mass
    hoses_give_or_take: Mass
    purge: Mass = ZERO
    released: Mass = ZERO
    released_why: str = ""


def charge_in(
    rules: HouseRules, *, hoses: Mass, purged: int, released: Mass = ZERO, released_why: str = ""
) -> ChargeIn:
    """What did not stay in the car, under the shop's allowances: for hoses that hold something a give or take, for each
    of ``purged`` times the same mass."""
    return ChargeIn(
        hoses=hoses,
        hoses_give_or_take=grams(rules.hose_give_or_take_g) if hoses > ZERO else ZERO,
        purge=grams(rules.purge_allowance_g * purged),
        released=released,
        released_why=released_why,
    )


@transaction.atomic
def weigh_can(job: Job, weighing: WeighingIn, *, at: datetime, by: Person) -> CanTicket:
    """Put a can's reading on the job. Raises ``Refused`` with every slip it sees; nothing is written then."""
    hold(job)
    sheet = job_sheet(job)
    mine = can_on(sheet, weighing.container)
    refuse_if_blocked(who_and_which(sheet, weighing, mine, at, by))
    found = reading_problems(sheet, weighing, mine)
    _refuse_unseen(found, answered(weighing))
    if mine is None or not mine.hanging:
        _hang(job, weighing.container, at=at, by=by)
        SpokenFor.objects.get_or_create(container=weighing.container, holder=job.number)
    Draft.objects.filter(job=job, kind=StageKind.CHARGE).delete()
    written = _write(job, weighing, sealed=was_sealed(weighing.container, mine), at=at, by=by)
    _keep_light(written, weighing.light, found)
    if weighing.moment == CanTicket.Moment.AFTER and not weighing.stays_on:
        OnTheCar.objects.filter(container=weighing.container, job=job).delete()
    return written


@transaction.atomic
def retype_ticket(old: CanTicket, weighing: WeighingIn, *, at: datetime, by: Person) -> CanTicket:
    """Type a ticket of an open job again. The old number stays readable behind the new one."""
    job = old.job
    hold(job)
    sheet = job_sheet(job)
    mine = next((can for can in sheet.cans if any(row.pk == old.pk for row in can.tickets)), None)
    found = may_charge(sheet, weighing, at, by)
    if mine is None or old.ticket.container_id != weighing.container.pk:
        found.append(
            blocked(
                "ticket-retyped", phrase("This ticket was typed again already. Look at the newest one."), ""
            )
        )
    found += _went_on(old)
    refuse_if_blocked(found)
    assert mine is not None  # noqa: S101 - refused above
    place = next(number for number, row in enumerate(mine.tickets) if row.pk == old.pk)
    before = CanOnJob(mine.container, mine.tickets[:place], mine.previous, mine.book, mine.hanging)
    off = old.moment == CanTicket.Moment.AFTER and not mine.hanging
    weighing = replace(
        weighing,
        moment=CanTicket.Moment(old.moment),
        emptied=weighing.emptied if off else old.emptied,
        light=weighing.light or (old.light.why if hasattr(old, "light") else ""),
    )
    refuse_if_blocked(said_problems(sheet, weighing, before, at))
    found = reading_problems(sheet, weighing, before)
    _refuse_unseen(found, answered(weighing))
    new = _write(job, weighing, sealed=old.sealed, at=at, by=by)
    _keep_light(new, weighing.light, found)
    Retyping.objects.create(old=old, new=new, at=at, by=by)
    return new


@transaction.atomic
def take_over_can(job: Job, weighing: WeighingIn, *, at: datetime, by: Person) -> CanTicket:
    """Take a can over from the car it hangs on: one reading is the end of its use there and the start of it here."""
    claim = OnTheCar.objects.select_related("job__establishment").filter(container=weighing.container).first()
    if claim is None or claim.job_id == job.pk:
        sentence = phrase(
            "{can} hangs on no other car. Weigh it here as before.", can=weighing.container.code
        )
        refuse_if_blocked([blocked("not-elsewhere", sentence, "container")])
        raise AssertionError("refused above")
    there = replace(weighing, moment=CanTicket.Moment.AFTER, stays_on=False, light="")
    weigh_can(claim.job, there, at=at, by=by)
    return weigh_can(job, replace(there, moment=CanTicket.Moment.BEFORE), at=at, by=by)


@transaction.atomic
def take_off_can(job: Job, can: Container, *, at: datetime, by: Person) -> None:
    """A can that was read with the tap closed came off the car since, at that same reading."""
    hold(job)
    sheet = job_sheet(job)
    mine = can_on(sheet, can)
    if mine is None or not mine.hanging or mine.tickets[-1].moment == CanTicket.Moment.BEFORE:
        sentence = phrase("{can} has no reading since it went on the car. Weigh it first.", can=can.code)
        refuse_if_blocked([blocked("no-after", sentence, "container")])
    refuse_if_blocked(work_day(by, local(job.establishment, at).date()).findings)
    OnTheCar.objects.filter(container=can, job=job).delete()


@transaction.atomic
def refile_can(job: Job, wrong: Container, right: Container, *, at: datetime, by: Person) -> None:
    """It was the other can all along: every ticket of this open job moves from ``wrong`` to ``right``.

    The old tickets stay readable and say nothing any more. Refused when the readings cannot be those of ``right``.
    """
    hold(job)
    sheet = job_sheet(job)
    mine = can_on(sheet, wrong)
    if mine is None or can_on(sheet, right) is not None:
        sentence = phrase("Take a can that is on this job, and one that is not.")
        refuse_if_blocked([blocked("refile-which", sentence, "container")])
        raise AssertionError("refused above")
    hung = mine.hanging
    OnTheCar.objects.filter(container=wrong, job=job).delete()
    for old in mine.tickets:
        ticket = old.ticket
        said = TicketIn(ticket.scale, ticket.reading, Style(ticket.style), Origin(ticket.origin))
        weighing = WeighingIn(
            right,
            said,
            CanTicket.Moment(old.moment),
            emptied=old.emptied,
            stays_on=True,
            seen=SEEN_WHEN_REFILED,
            light=old.light.why if hasattr(old, "light") else "",
            said_at=old.at,
        )
        new = weigh_can(job, weighing, at=at, by=by)
        TicketSetAside.objects.create(ticket=ticket, at=at, by=by)
        Retyping.objects.create(old=old, new=new, at=at, by=by)
    if not hung:
        OnTheCar.objects.filter(container=right, job=job).delete()
    SpokenFor.objects.filter(container=wrong, holder=job.number).delete()


@transaction.atomic
def finish_charge(job: Job, charge: ChargeIn, *, uncertified: str = "", at: datetime, by: Person) -> Charge:
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
    stage = write_stage(job, StageKind.CHARGE, uncertified=uncertified, at=at, by=by)
    return Charge.objects.create(
        stage=stage,
        hoses=charge.hoses,
        hoses_give_or_take=charge.hoses_give_or_take,
        purge=charge.purge,
        released=charge.released,
        released_why=charge.released_why.strip(),
    )


def _refuse_unseen(found: list[Finding], seen: Collection[str]) -> None:
    open_ones = [one for one in found if one.code not in seen or one.blocks]
    if any(one.blocks or one.weight is Weight.WARNS for one in open_ones):
        raise Refused(open_ones)


def _keep_light(row: CanTicket, why: str, found: list[Finding]) -> None:
    """Say why a sealed can was light; of a reading that was not, nothing is said."""
    if why and any(one.code == "sealed-light" for one in found):
        LightCan.objects.create(row=row, why=why)


def _went_on(old: CanTicket) -> list[Finding]:
    """A can that was weighed on another job since: what it weighed there begins where this ticket ended."""
    container = old.ticket.container
    later = CanTicket.objects.filter(ticket__container=container, ticket__number__gt=old.ticket.number)
    other = later.exclude(job=old.job).filter(job__closing=None, retyped=None).select_related("job").first()
    if other is None:
        return []
    sentence = phrase(
        "{can} went on to {job} with this weight. Weigh it there again, and say here what was released.",
        can=container.code,
        job=other.job.number,
    )
    return [blocked("went-on", sentence)]


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
    at = weighing.said_at or at
    ticket = weigh(weighing.container, weighing.ticket, at=at, by=by)
    return CanTicket.objects.create(
        job=job,
        ticket=ticket,
        moment=weighing.moment,
        sealed=sealed,
        emptied=weighing.emptied,
        hands=weighing.uncertified.strip(),
        at=at,
        by=by,
    )
