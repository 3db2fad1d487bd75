"""What looks wrong with a reading while the can can still be weighed again. Nothing is written here."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from compliance.core.charge import with_the_car
from compliance.core.charge_rules import GATES, TERMS
from compliance.models import CanTicket, Job, OnTheCar
from compliance.queries.charge_view import state_of, stop_reading
from compliance.queries.facts import local, ticket_facts
from compliance.queries.sheets import CanOnJob, Sheet, job_sheet
from compliance.services.gates import WeighingIn, gate_facts, may_begin, may_charge, said_problems
from inventory.core.weighing import (
    CanKind,
    Suggestion,
    Ticket,
    likely_digits,
    likely_reading,
    meant_digits,
    ticket_problems,
    typed_facts,
)
from inventory.models import Container
from inventory.queries import last_ticket
from inventory.services import TicketIn
from inventory.services.holds import not_to_be_used
from shop.core.findings import Finding, blocked
from shop.core.mass import Mass
from shop.core.phrase import phrase
from shop.core.rule_rows import Look
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
    found += Look(TERMS, gate_facts(weighing, mine)).judge(GATES)
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
    last = mine.tickets[-1] if mine is not None and mine.tickets else None
    found = ticket_problems(
        ticket,
        kind=kind,
        can=weighing.container.code,
        previous=previous,
        sealed=rested and previous is None,
        first_in_job=rested,
        since=local(sheet.job.establishment, last.at) if last is not None else None,
    )
    drawn = previous.gross - ticket.gross if previous is not None and not rested else None
    facts = {**_facts(sheet, weighing, mine), "drawn": drawn.ug if drawn is not None else None}
    return with_the_car(found, ticket.reading, shows=_shows(weighing.ticket), facts=facts)


def _shows(ticket: TicketIn) -> Mass | None:
    """The scale's division, when the reading is in the scale's own unit."""
    return ticket.scale.division if ticket.reading.unit == ticket.scale.unit else None


def _facts(sheet: Sheet, weighing: WeighingIn, mine: CanOnJob | None) -> dict[str, object]:
    """What the rules about the car are told: see compliance/core/charge_rules.py."""
    facts: dict[str, object] = {"can": weighing.container.code, "moment": weighing.moment.value}
    if mine is not None and sheet.label is not None and weighing.moment != CanTicket.Moment.BEFORE:
        kept = state_of(sheet, {weighing.container.pk: weighing.ticket.reading.mass})
        stop = stop_reading(sheet, mine)
        facts |= {
            "in_car": kept.in_car.ug,
            "label": sheet.label.charge.ug,
            "tolerance": sheet.label.tolerance.ug,
            "stop": stop.mass.ug if stop is not None else None,
        }
    on_it = next(
        (can for can in sheet.cans if can.hanging and can.container.pk != weighing.container.pk), None
    )
    if on_it is not None:
        facts |= {
            "other": on_it.container.code,
            "other_since": local(sheet.job.establishment, on_it.container.on_the_car.since),
            "other_reading": str(on_it.tickets[-1].ticket.reading),
        }
    return facts


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
    if guess is None:
        look = Look(TERMS, typed_facts(ticket.reading) | _facts(sheet, weighing, mine))
        guess = meant_digits(ticket.reading, look.value("meant")) if look.value("over") is True else None
    return guess
