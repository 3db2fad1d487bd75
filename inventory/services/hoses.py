"""The ten-minute measurement of a hose set, and its adoption as the shop's rule."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import pairwise

from django.db import transaction

from inventory.core.hose import FILLINGS, fillings_problems, hose_result
from inventory.core.ledger import Leg, Purpose
from inventory.core.requalification import filling_findings
from inventory.core.weighing import CanKind, Style, Ticket, ticket_problems
from inventory.models import Container, HoseMeasure
from inventory.posting import post
from inventory.queries import containers, cylinder_room
from inventory.services.holds import not_to_be_used
from inventory.services.weighing import TicketIn, reading_problems, weigh
from shop.core.days import said_day
from shop.core.findings import Finding, Weight, blocked, refuse_if_blocked
from shop.core.mass import Reading, Unit
from shop.core.phrase import phrase
from shop.models import Equipment, Person, ShopRule
from shop.queries import rules_on, work_day
from shop.services import change_rule, next_number

FIELDS = ("before", "first", "second", "third")


@dataclass(frozen=True, slots=True)
class HoseMeasureIn:
    """``readings`` are the can's: before, and after each of three fillings, all on one scale and weighed one way."""

    hoses: str
    left: str
    can: Container
    cylinder: Container
    scale: Equipment
    style: Style
    readings: tuple[Reading, Reading, Reading, Reading]


@transaction.atomic
def measure_hoses(measured: HoseMeasureIn, *, on: date, at: datetime, by: Person) -> HoseMeasure:
    """Sign a measurement: four weigh tickets, one movement from the can into the cylinder, and the result.

    Refused when a weight cannot be this can's, a filling is nothing or more than hoses take, the can is on a job, or
    the cylinder does not take it.
    """
    refuse_if_blocked([*work_day(by, on).findings, *_which(measured, on)])
    weights = [reading.mass for reading in measured.readings]
    slips = _slips(measured)
    wrong = {one.field for one in slips}
    refuse_if_blocked(
        [*slips, *(one for one in fillings_problems(weights, FIELDS) if one.field not in wrong)]
    )
    can, cylinder, establishment = measured.can, measured.cylinder, measured.can.establishment
    result = hose_result(weights, measured.scale.division)
    number = f"HM{on:%y}-{next_number(f'HM{on:%y}', establishment, by=by):04d}"
    leg = Leg(can.code, cylinder.code, weights[0] - weights[FILLINGS], Purpose.RECOVERED_BACK)
    text = f"{number}: {can} filled {measured.hoses} three times, recovered into {cylinder}"
    tickets = [
        weigh(can, TicketIn(measured.scale, one, measured.style), at=at, by=by) for one in measured.readings
    ]
    return HoseMeasure.objects.create(
        establishment=establishment,
        number=number,
        hoses=measured.hoses.strip(),
        left=measured.left,
        can=can,
        cylinder=cylinder,
        entry=post(establishment, [leg], on=on, text=text, at=at, by=by),
        allowance=result.allowance,
        give_or_take=result.give_or_take,
        at=at,
        by=by,
        **dict(zip(FIELDS, tickets, strict=True)),
    )


@transaction.atomic
def adopt_hose_measure(
    measure: HoseMeasure, *, from_day: date, today: date, at: datetime, by: Person
) -> tuple[ShopRule, ShopRule]:
    """The owner's word: from a day on the shop allows what was measured. Both rules name the measurement."""
    if measure.result.is_wide:
        sentence = phrase("Its fillings differ too much to be a rule. Measure again.")
        refuse_if_blocked([blocked("measure-wide", sentence, "from_day")])
    basis = basis_of(measure)
    allowance, wide = (
        change_rule(
            measure.establishment,
            key=key,
            value=str(mass.rounded(Unit.G, 1)),
            from_day=from_day,
            basis=basis,
            today=today,
            at=at,
            by=by,
        )
        for key, mass in (
            ("hose_allowance_g", measure.allowance),
            ("hose_give_or_take_g", measure.give_or_take),
        )
    )
    return allowance, wide


def basis_of(measure: HoseMeasure) -> str:
    """What the rule rests on, as the shop's set-up and the certificate's facts have it."""
    fillings = ", ".join(str(mass.rounded(Unit.G, 1)) for mass in measure.result.fillings)
    return (
        f"{measure.number}: {measure.hoses}, {measure.refrigerant} {measure.left}, {fillings} g in three fillings,"
        f" {said_day(measure.at)}, {measure.by}"
    )


def _which(measured: HoseMeasureIn, on: date) -> list[Finding]:
    can, cylinder = measured.can, measured.cylinder
    found = [*not_to_be_used(can, "can"), *not_to_be_used(cylinder, "cylinder")]
    if can.kind != "can" or hasattr(can, "fate"):
        sentence = phrase("{can} is no can in use. Read its number again.", can=can.code)
        found.append(blocked("measure-no-can", sentence, "can"))
    for waiting in can.spoken_for.all()[:1]:
        sentence = phrase(
            "{can} is on the open job {job}. Take another can.", can=can.code, job=waiting.holder
        )
        found.append(blocked("spoken-for", sentence, "can"))
    if len(measured.hoses.strip()) < 2:
        found.append(blocked("hoses-unnamed", phrase("Name the hose set, for example H-1."), "hoses"))
    if (
        cylinder.kind != "cylinder"
        or cylinder.refrigerant_id != can.refrigerant_id
        or hasattr(cylinder, "mixed")
        or hasattr(cylinder, "fate")
    ):
        sentence = phrase(
            "{cylinder} does not take {refrigerant}.", cylinder=cylinder.code, refrigerant=can.refrigerant_id
        )
        return [*found, blocked("cylinder-refrigerant", sentence, "cylinder")]
    return [*found, *_room(measured, on)]


def _room(measured: HoseMeasureIn, on: date) -> list[Finding]:
    cylinder = containers(measured.can.establishment).select_related("cylinder").get(pk=measured.cylinder.pk)
    rules = rules_on(measured.can.establishment, on)
    found = filling_findings(
        cylinder.code, cylinder.cylinder.requalified_on, rules.cylinder_years, on, "cylinder"
    )
    room = cylinder_room(cylinder, rules)
    if measured.readings[0].mass - measured.readings[-1].mass <= room.left:
        return found
    sentence = phrase("{cylinder} has no room for that. Take another cylinder.", cylinder=cylinder.code)
    return [*found, blocked("cylinder-full", sentence, "cylinder")]


def _slips(measured: HoseMeasureIn) -> list[Finding]:
    """What looks wrong with each weight. The first is compared with the can's last ticket; a question that its own
    page can answer is put there first."""
    tickets = [TicketIn(measured.scale, reading, measured.style) for reading in measured.readings]
    found = [
        _asked_first(one, measured.can) for one in reading_problems(measured.can, tickets[0], field="before")
    ]
    kind = measured.can.can.type
    facts = [Ticket(one.reading, one.scale.division, one.style, one.origin) for one in tickets]
    for (before, after), field in zip(pairwise(facts), FIELDS[1:], strict=True):
        found += ticket_problems(
            after,
            kind=CanKind(kind.net, kind.shell, float(kind.shell_spread_g)),
            can=measured.can.code,
            previous=before,
            sealed=False,
            first_in_job=False,
            field=field,
        )
    return [one for one in found if one.blocks]


def _asked_first(one: Finding, can: Container) -> Finding:
    if one.weight is not Weight.WARNS:
        return one
    sentence = phrase(
        "{said} If it holds, weigh {can} on its own page first.", said=one.message, can=can.code
    )
    return replace(one, weight=Weight.BLOCKS, message=sentence)
