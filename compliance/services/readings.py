"""What looks wrong with a reading while the can can still be weighed again. Nothing is written here."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from compliance.core.charge import meant_overcharge, overcharge
from compliance.models import CanTicket, Job, OnTheCar
from compliance.queries.charge_view import in_the_car, stop_reading
from compliance.queries.facts import local, ticket_facts
from compliance.queries.sheets import CanOnJob, Sheet, job_sheet
from compliance.services.gates import WeighingIn, may_begin, may_charge, said_problems
from inventory.core.can import cold_wet
from inventory.core.weighing import (
    CanKind,
    Suggestion,
    Ticket,
    likely_digits,
    likely_reading,
    meant_digits,
    ticket_problems,
)
from inventory.models import Container
from inventory.queries import last_ticket
from inventory.services.holds import not_to_be_used
from shop.core.findings import Finding, blocked, warned
from shop.core.mass import Unit
from shop.core.phrase import phrase
from shop.core.reading import read_mass
from shop.models import Person


def look_at_weighing(job: Job, weighing: WeighingIn, *, at: datetime, by: Person) -> tuple[Finding, ...]:
    """Everything that ``weigh_can`` would say of this reading, for the page that answers while it is typed."""
    sheet = job_sheet(job)
    mine = can_on(sheet, weighing.container)
    found = who_and_which(sheet, weighing, mine, at, by)
    if any(one.blocks for one in found):
        return tuple(found)
    return tuple(one for one in reading_problems(sheet, weighing, mine) if one.code not in answered(weighing))


def can_on(sheet: Sheet, can: Container) -> CanOnJob | None:
    return next((one for one in sheet.cans if one.container.pk == can.pk), None)


def answered(weighing: WeighingIn) -> Collection[str]:
    """A light sealed can is answered by saying why, not by having seen it."""
    seen = [code for code in weighing.seen if code != "sealed-light"]
    return (*seen, "sealed-light") if weighing.light else tuple(seen)


def who_and_which(
    sheet: Sheet, weighing: WeighingIn, mine: CanOnJob | None, at: datetime, by: Person
) -> list[Finding]:
    found = may_charge(sheet, weighing, at, by)
    if weighing.moment == CanTicket.Moment.BEFORE and (mine is None or not mine.hanging):
        found += may_begin(sheet)
    return [*found, *_can_problems(sheet, weighing, mine), *said_problems(sheet, weighing, mine, at)]


def _can_problems(sheet: Sheet, weighing: WeighingIn, mine: CanOnJob | None) -> list[Finding]:
    can = weighing.container
    found = []
    if can.kind != "can":
        found.append(
            blocked(
                "recovered-refrigerant",
                phrase(
                    "{can} holds recovered refrigerant. It may go into a vehicle only once it was recycled on site or"
                    " reclaimed.",
                    can=can.code,
                ),
                "container",
                "40 CFR 82.34(d), read",
            )
        )
    elif can.refrigerant_id != sheet.refrigerant:
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
    if mine is None:
        found += not_to_be_used(can, "container")
    if mine is None and weighing.moment != CanTicket.Moment.BEFORE:
        sentence = phrase(
            "{can} has no weight from before on this job. Weigh it before it goes on the car.", can=can.code
        )
        found.append(blocked("no-before", sentence, "moment"))
    if mine is not None and mine.hanging and weighing.moment == CanTicket.Moment.BEFORE:
        sentence = phrase("{can} is on the car already. Say what this reading is: after.", can=can.code)
        found.append(blocked("before-again", sentence, "what"))
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


def _compared(weighing: WeighingIn, mine: CanOnJob | None) -> tuple[Ticket, CanKind, Ticket | None, bool]:
    """The reading, its kind of can, the can's ticket before it, and whether it should weigh what it weighed then."""
    can = weighing.container
    rested = mine is None or not mine.tickets or weighing.moment == CanTicket.Moment.BEFORE
    if mine is not None and mine.tickets:
        previous: Ticket | None = ticket_facts(mine.tickets[-1].ticket)
    else:
        earlier = mine.previous if mine is not None else last_ticket(can)
        previous = ticket_facts(earlier) if earlier is not None else None
    said, kind = weighing.ticket, can.can.type
    ticket = Ticket(said.reading, said.scale.division, said.style, said.origin)
    return ticket, CanKind(kind.net, kind.shell, float(kind.shell_spread_g)), previous, rested


def reading_problems(sheet: Sheet, weighing: WeighingIn, mine: CanOnJob | None) -> list[Finding]:
    """Compare the reading with the can's ticket before it, on this job or, for its first weighing here, on the last;
    and with what the car takes."""
    ticket, kind, previous, rested = _compared(weighing, mine)
    found = ticket_problems(
        ticket,
        kind=kind,
        can=weighing.container.code,
        previous=previous,
        sealed=rested and previous is None,
        first_in_job=rested,
    )
    if mine is not None and mine.tickets:
        found = [_lost_waiting(one, weighing, mine) for one in found]
    reading, scale = ticket.reading, weighing.ticket.scale
    if reading.unit == scale.unit and not any(one.code == "unit-slip" for one in found):
        found += read_mass(reading.text, reading.unit, division=scale.division)[1]
    if not any(one.blocks for one in found):
        found += _too_much(sheet, weighing, mine)
        found += _other_can(sheet, weighing, mine)
        chilled = cold_wet(previous.gross - ticket.gross) if previous is not None and not rested else None
        found += [chilled] if chilled is not None else []
    return found


def _lost_waiting(one: Finding, weighing: WeighingIn, mine: CanOnJob) -> Finding:
    if one.code != "can-lost-on-shelf":
        return one
    last = mine.tickets[-1]
    sentence = phrase(
        "{can} lost {lost} g since {since:%H:%M}: a leaking tap? Keep it, and it is booked as released, not charged.",
        can=weighing.container.code,
        lost=(last.ticket.gross - weighing.ticket.reading.mass).rounded(Unit.G, 0),
        since=local(mine.container.establishment, last.at),
    )
    return warned("lost-waiting", sentence, "reading")


def _too_much(sheet: Sheet, weighing: WeighingIn, mine: CanOnJob | None) -> list[Finding]:
    if mine is None or sheet.label is None or weighing.moment == CanTicket.Moment.BEFORE:
        return []
    kept = in_the_car(sheet, {weighing.container.pk: weighing.ticket.reading.mass})
    stop = stop_reading(sheet, mine)
    found = overcharge(
        weighing.ticket.reading,
        in_car=kept,
        label=sheet.label.charge,
        tolerance=sheet.label.tolerance,
        stop=stop.mass if stop is not None else None,
    )
    return [found] if found is not None else []


def _other_can(sheet: Sheet, weighing: WeighingIn, mine: CanOnJob | None) -> list[Finding]:
    """Somebody takes up a can while another one hangs on the car: the wrong one, or one that was not weighed off."""
    on_it = [can for can in sheet.cans if can.hanging and can.container.pk != weighing.container.pk]
    if weighing.moment != CanTicket.Moment.BEFORE or not on_it:
        return []
    sentence = phrase(
        "This is {can}. {on_it} is on the car since {since:%H:%M}, last read {last}. Weigh {on_it} off first, or keep"
        " both on.",
        can=weighing.container.code,
        on_it=on_it[0].container.code,
        since=local(sheet.job.establishment, on_it[0].container.on_the_car.since),
        last=on_it[0].tickets[-1].ticket.reading,
    )
    return [warned("other-can-on", sentence, "container")]


def likely_weighing(job: Job, weighing: WeighingIn, *, by: Person) -> Suggestion | None:
    """What was probably meant: the same number in another unit, or with two digits swapped. Writes nothing."""
    if weighing.container.kind != "can":
        return None
    sheet = job_sheet(job)
    mine = can_on(sheet, weighing.container)
    ticket, kind, previous, rested = _compared(weighing, mine)
    guess = likely_reading(ticket, kind, previous)
    if guess is None and rested:
        guess = likely_digits(ticket, kind, previous, sealed=previous is None)
    if guess is None and mine is not None and sheet.label is not None and _too_much(sheet, weighing, mine):
        stop = stop_reading(sheet, mine)
        meant = meant_overcharge(
            ticket.reading, stop=stop.mass if stop else None, tolerance=sheet.label.tolerance
        )
        guess = meant_digits(ticket.reading, meant)
    return guess
