"""Cans that came damaged or are sent back, and the credit for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.ledger import Leg, Purpose
from inventory.models import (
    Container,
    Credit,
    Damage,
    DeliveredCan,
    Delivery,
    Entry,
    Fate,
    Movement,
    Place,
    ReturnedCan,
    ReturnSlip,
)
from inventory.posting import post
from inventory.queries import creditable_cents, credited_cents, deposits_out
from inventory.services.finding import findable_delivery
from inventory.services.receiving import hold_slips
from inventory.services.weighing import TicketIn, reading_problems, weigh
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass, grams
from shop.core.phrase import phrase
from shop.models import Person
from shop.services import next_number
from shop.services.finding import make_findable


@dataclass(frozen=True, slots=True)
class DamageIn:
    """What is wrong with a can, where it stands now, and what it weighs, if it was put on a scale."""

    what: str
    where: str
    ticket: TicketIn | None = None


@dataclass(frozen=True, slots=True)
class ReturnIn:
    cans: tuple[Container, ...]
    on: date
    to: ReturnSlip.To
    handed_to: str
    reason: str


@dataclass(frozen=True, slots=True)
class CreditIn:
    """``cents`` may be nothing: the supplier never billed the can."""

    number: str
    dated: date
    cents: int


@transaction.atomic
def note_damage(can: Container, damage: DamageIn, *, today: date, at: datetime, by: Person) -> Damage:
    """Describe a can that came damaged; one found so later is refused by it, and leaves the book whole.

    A refused can is the supplier's. What it lost goes from the supplier through the can into the air, so that it is on
    record and touches no figure of our own work. Less than shells of its kind vary by is nothing that a scale can tell.
    Raises ``Refused`` when the can was used, is on a job, was weighed for this already or has left.
    """
    _hold([can])
    came = (
        DeliveredCan.objects.select_related("line__delivery__supplier", "line__type")
        .filter(container=can)
        .first()
    )
    refuse_if_blocked(_damage_problems(can, came, damage))
    assert came is not None  # noqa: S101 - or it would have been refused
    legs = [] if Fate.objects.filter(container=can).exists() else _refused(can, damage.what, at=at, by=by)
    lost = ZERO if damage.ticket is None else _lost(can, damage.ticket)
    if lost > ZERO:
        legs += [
            Leg("supplier", can.code, lost, Purpose.DAMAGED),
            Leg(can.code, "air", lost, Purpose.DAMAGED),
        ]
    return Damage.objects.create(
        container=can,
        what=damage.what.strip(),
        where=damage.where.strip(),
        ticket=None if damage.ticket is None else weigh(can, damage.ticket, at=at, by=by),
        lost=lost,
        entry=_booked(can, came.line.delivery, legs, today, at, by) if legs else None,
        at=at,
        by=by,
    )


def _hold(cans: Sequence[Container]) -> None:
    """Lock the cans, so that what happens to one of them happens one after the other."""
    rows = Place.objects.filter(code__in=[can.pk for can in cans]).order_by("code")
    list(rows.select_for_update(no_key=True))


def _refused(can: Container, why: str, *, at: datetime, by: Person) -> list[Leg]:
    """A can that was taken in and is now found damaged: its use ends, and all of it goes back to the supplier."""
    Fate.objects.create(
        container=can, what=Fate.What.REFUSED, why=f"found damaged later: {why.strip()}"[:200], at=at, by=by
    )
    held = Movement.objects.balances([can.code])[can.code]
    return [Leg(can.code, "supplier", held, Purpose.DAMAGED)] if held > ZERO else []


def _lost(can: Container, ticket: TicketIn) -> Mass:
    kind = can.can.type
    gone = kind.net + kind.shell - ticket.reading.mass
    return min(gone, kind.net) if gone > grams(kind.shell_spread_g) else ZERO


def _booked(
    can: Container, delivery: Delivery, legs: list[Leg], today: date, at: datetime, by: Person
) -> Entry:
    text = f"{can.code} of {delivery.number} came damaged; not our service"
    return post(can.establishment, legs, on=today, text=text, at=at, by=by)


@transaction.atomic
def return_cans(delivery: Delivery, sent: ReturnIn, *, today: date, at: datetime, by: Person) -> ReturnSlip:
    """Let cans of a delivery leave the shop: refused ones, and sealed or open ones that go back with what they hold.

    Raises ``Refused`` without a destination and a reason, and for a can that left, is on a job, or came with another
    delivery.
    """
    _hold(sent.cans)
    cans = list(
        Container.objects.filter(pk__in=[can.pk for can in sent.cans])
        .select_related("delivered__line", "fate", "given_back__slip")
        .prefetch_related("spoken_for")
        .order_by("pk")
    )
    refuse_if_blocked([*_return_problems(delivery, sent, today), *_cans_problems(delivery, cans)])
    house, going = delivery.establishment, [can for can in cans if not hasattr(can, "fate")]
    held = Movement.objects.balances([can.code for can in going])
    legs = [Leg(code, "supplier", mass, Purpose.RETURNED) for code, mass in held.items() if mass > ZERO]
    number = f"RS{sent.on:%y}-{next_number(f'RS{sent.on:%y}', house, by=by):04d}"
    text = f"{number}: {len(cans)} cans of {delivery.number} to {sent.handed_to.strip()}"[:200]
    slip = ReturnSlip.objects.create(
        establishment=house,
        number=number,
        delivery=delivery,
        on=sent.on,
        to=sent.to,
        handed_to=sent.handed_to.strip(),
        reason=sent.reason.strip(),
        entry=post(house, legs, on=sent.on, late=today, text=text, at=at, by=by),
        at=at,
        by=by,
    )
    ReturnedCan.objects.bulk_create(ReturnedCan(container=can, slip=slip) for can in cans)
    make_findable(house, findable_delivery(delivery))
    Fate.objects.bulk_create(
        Fate(container=can, what=Fate.What.RETURNED, why=number, at=at, by=by) for can in going
    )
    return slip


@transaction.atomic
def add_credit(slip: ReturnSlip, credit: CreditIn, *, today: date, at: datetime, by: Person) -> Credit:
    """Match a credit with the cans of a return slip. Never more in all than the delivery's invoices bill."""
    hold_slips(slip.delivery.supplier)
    refuse_if_blocked(_credit_problems(slip.delivery, credit, today))
    return _credited(slip.delivery, slip, credit, at=at, by=by)


@transaction.atomic
def add_deposit_back(
    delivery: Delivery, credit: CreditIn, *, today: date, at: datetime, by: Person
) -> Credit:
    """A deposit or core charge of a delivery came back; never more than is out."""
    hold_slips(delivery.supplier)
    found = _credit_problems(delivery, credit, today)
    if credit.cents > deposits_out(delivery) or credit.cents == 0:
        sentence = phrase("That is not what is out in deposits for {delivery}.", delivery=delivery.number)
        found.append(blocked("deposit-more", sentence, "amount"))
    refuse_if_blocked(found)
    return _credited(delivery, None, credit, at=at, by=by)


def _credited(
    delivery: Delivery, slip: ReturnSlip | None, credit: CreditIn, *, at: datetime, by: Person
) -> Credit:
    return Credit.objects.create(
        delivery=delivery,
        slip=slip,
        number=credit.number.strip(),
        dated=credit.dated,
        cents=credit.cents,
        at=at,
        by=by,
    )


def _damage_problems(can: Container, came: DeliveredCan | None, damage: DamageIn) -> list[Finding]:
    found = []
    if came is None:
        sentence = phrase(
            "{can} did not come with a delivery, so no supplier can take it back.", can=can.code
        )
        found.append(blocked("damage-no-delivery", sentence))
    fate = Fate.objects.filter(container=can).first()
    tickets = can.tickets.filter(set_aside=None, damage=None).exists()
    if fate is not None and fate.what != Fate.What.REFUSED:
        sentence = phrase("{can} is out of use ({fate}).", can=can.code, fate=fate.get_what_display().lower())
        found.append(blocked("out-of-use", sentence))
    elif fate is None and (tickets or can.spoken_for.exists()):
        sentence = phrase("{can} was opened here. What it lost is ours to explain.", can=can.code)
        found.append(blocked("damage-used", sentence))
    if ReturnedCan.objects.filter(container=can).exists():
        found.append(blocked("damage-left", phrase("{can} has left the shop.", can=can.code)))
    if len(damage.what.strip()) < 3:
        sentence = phrase("Say what is wrong with it, for example: crushed seam, hissing.")
        found.append(blocked("damage-what", sentence, "what"))
    if len(damage.where.strip()) < 3:
        sentence = phrase("Say where it stands now, for example: outside, upright, by the east wall.")
        found.append(blocked("damage-where", sentence, "where"))
    return found if damage.ticket is None or found else _weighing_problems(can, damage.ticket)


def _weighing_problems(can: Container, ticket: TicketIn) -> list[Finding]:
    if Damage.objects.filter(container=can).exclude(ticket=None).exists():
        sentence = phrase("{can} was weighed for its damage already; that is booked.", can=can.code)
        return [blocked("damage-weighed", sentence, "reading")]
    if can.tickets.filter(set_aside=None, damage=None).exists():
        sentence = phrase("{can} was emptied here; what it lost before can no longer be told.", can=can.code)
        return [blocked("damage-emptied", sentence, "reading")]
    return [one for one in reading_problems(can, ticket, field="reading") if one.blocks]


def _return_problems(delivery: Delivery, sent: ReturnIn, today: date) -> list[Finding]:
    found = []
    if not sent.cans:
        found.append(blocked("return-empty", phrase("Tick the cans that leave."), "cans"))
    if not delivery.on <= sent.on <= today:
        sentence = phrase("A can leaves after it came, and not after today. Check the day.")
        found.append(blocked("return-day", sentence, "on"))
    if len(sent.handed_to.strip()) < 2:
        sentence = phrase("Say who took them: a driver's name, or the facility.")
        found.append(blocked("return-to", sentence, "handed_to"))
    if len(sent.reason.strip()) < 3:
        found.append(blocked("return-why", phrase("Say in a few words why they go back."), "reason"))
    return found


def _cans_problems(delivery: Delivery, cans: Sequence[Container]) -> list[Finding]:
    found = []
    for can in cans:
        if not hasattr(can, "delivered") or can.delivered.line.delivery_id != delivery.pk:
            sentence = phrase("{can} did not come with {delivery}.", can=can.code, delivery=delivery.number)
            found.append(blocked("return-other", sentence, "cans"))
        elif hasattr(can, "given_back"):
            sentence = phrase("{can} left already on {slip}.", can=can.code, slip=can.given_back.slip.number)
            found.append(blocked("return-left", sentence, "cans"))
        elif hasattr(can, "fate") and can.fate.what != Fate.What.REFUSED:
            sentence = phrase(
                "{can} is out of use ({fate}).", can=can.code, fate=can.fate.get_what_display().lower()
            )
            found.append(blocked("out-of-use", sentence, "cans"))
        elif waiting := can.spoken_for.all():
            sentence = phrase("{can} is on the open job {job}.", can=can.code, job=waiting[0].holder)
            found.append(blocked("spoken-for", sentence, "cans"))
    return found


def _credit_problems(delivery: Delivery, credit: CreditIn, today: date) -> list[Finding]:
    found = []
    if not credit.number.strip():
        sentence = phrase("Type the number of the credit, or who said it and when.")
        found.append(blocked("credit-number", sentence, "number"))
    if not delivery.on <= credit.dated <= today:
        sentence = phrase("A credit comes after its delivery, and not after today. Check the day.")
        found.append(blocked("credit-day", sentence, "dated"))
    most = creditable_cents(delivery)
    if most == 0 and credit.cents:
        sentence = phrase("No invoice is on file for {delivery}. Add it first.", delivery=delivery.number)
        found.append(blocked("credit-no-invoice", sentence, "amount"))
    elif credit.cents < 0 or credited_cents(delivery) + credit.cents > most:
        sentence = phrase(
            "All credits together would be more than {delivery} cost.", delivery=delivery.number
        )
        found.append(blocked("credit-more", sentence, "amount"))
    return found
