"""Deliveries: what came, on which slip, can by can; and their invoices, apart from the weights."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from django.db import IntegrityError, transaction
from django.db.models import QuerySet

from inventory.core.ledger import Leg, Purpose
from inventory.models import (
    Container,
    ContainerType,
    DeliveredCan,
    Delivery,
    DeliveryLine,
    DeliveryUndone,
    Fate,
    Invoice,
    Supplier,
)
from inventory.posting import post, reverse
from inventory.services.finding import findable_delivery
from inventory.services.stocking import number_cans
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.models import Establishment, Person
from shop.services import next_number
from shop.services.finding import make_findable

MOST_CANS = 2000


@dataclass(frozen=True, slots=True)
class LineIn:
    """Cans of one kind. ``lots`` gives (lot, cans) pairs; cans beyond them have no lot."""

    type: ContainerType
    on_slip: int
    sound: int
    damaged: int = 0
    lots: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class DeliveryIn:
    supplier: Supplier
    slip: str
    on: date
    lines: tuple[LineIn, ...] = field(default_factory=tuple)
    asked: str = Delivery.Asked.NOT_ASKED
    asked_of: str = ""


@dataclass(frozen=True, slots=True)
class InvoiceIn:
    number: str
    dated: date
    total_cents: int


@transaction.atomic
def receive_delivery(
    delivery: DeliveryIn, establishment: Establishment, *, today: date, at: datetime, by: Person
) -> Delivery:
    """Take in a delivery: every can gets its own number; sound ones enter the book at label weight.

    Raises ``Refused`` when the slip is already in (with the number of the first), a day lies ahead, or the numbers
    of a line do not fit each other.
    """
    slip = " ".join(delivery.slip.upper().split())
    earlier = Delivery.objects.filter(establishment=establishment, supplier=delivery.supplier, slip=slip)
    refuse_if_blocked([*_delivery_problems(delivery, today), *_slip_known(earlier)])
    refuse_if_blocked(
        finding for number, line in enumerate(delivery.lines) for finding in _line_problems(number, line)
    )
    made = [(line, *_cans(line, establishment, on=delivery.on, at=at, by=by)) for line in delivery.lines]
    legs = [
        Leg("supplier", can.code, line.type.net, Purpose.RECEIVED) for line, sound, _ in made for can in sound
    ]
    text = f"Received from {delivery.supplier.name}, slip {slip}"
    entry = post(establishment, legs, on=delivery.on, late=today, text=text, at=at, by=by)
    try:
        with transaction.atomic():
            logged = Delivery.objects.create(
                establishment=establishment,
                number=f"D{delivery.on:%y}-{next_number(f'D{delivery.on:%y}', establishment, by=by):04d}",
                supplier=delivery.supplier,
                slip=slip,
                attempt=earlier.exclude(undone=None).count(),
                on=delivery.on,
                asked=delivery.asked,
                asked_of=delivery.asked_of.strip(),
                entry=entry,
                at=at,
                by=by,
            )
    except IntegrityError:
        refuse_if_blocked(_slip_known(earlier))
        raise
    for line, sound, damaged in made:
        _log_line(logged, line, sound, damaged, at=at, by=by)
    make_findable(establishment, findable_delivery(logged))
    return logged


def _cans(
    line: LineIn, establishment: Establishment, *, on: date, at: datetime, by: Person
) -> tuple[list[Container], list[Container]]:
    lots = [lot for lot, cans in line.lots for _ in range(cans)]
    lots += [""] * (line.sound - len(lots))
    sound = number_cans(line.type, lots, establishment, on=on, at=at, by=by) if lots else []
    damaged = (
        number_cans(line.type, [""] * line.damaged, establishment, on=on, at=at, by=by)
        if line.damaged
        else []
    )
    return sound, damaged


def _log_line(
    delivery: Delivery,
    line: LineIn,
    sound: list[Container],
    damaged: list[Container],
    *,
    at: datetime,
    by: Person,
) -> None:
    row = DeliveryLine.objects.create(
        delivery=delivery, type=line.type, on_slip=line.on_slip, sound=line.sound, damaged=line.damaged
    )
    DeliveredCan.objects.bulk_create(
        [DeliveredCan(container=can, line=row, sound=True) for can in sound]
        + [DeliveredCan(container=can, line=row, sound=False) for can in damaged]
    )
    Fate.objects.bulk_create(
        [
            Fate(container=can, what=Fate.What.REFUSED, why="damaged on delivery", at=at, by=by)
            for can in damaged
        ]
    )


def _slip_known(earlier: QuerySet[Delivery]) -> list[Finding]:
    first = earlier.filter(undone=None).first()
    if first is None:
        return []
    sentence = (
        f"Slip {first.slip} from {first.supplier.name} is already in: {first.number}, received"
        f" {first.on:%b} {first.on.day}. Open {first.number} instead of typing it again."
    )
    return [blocked("slip-already-in", sentence, "slip")]


def _delivery_problems(delivery: DeliveryIn, today: date) -> list[Finding]:
    found = []
    if not delivery.slip.strip():
        found.append(blocked("slip-empty", "Type the number on the packing slip.", "slip"))
    if delivery.on > today:
        found.append(blocked("delivery-future", "That day has not come yet. Use the day it arrived.", "on"))
    if (today - delivery.on).days > 366:
        sentence = "That is more than a year ago. Older stock comes in by an opening count."
        found.append(blocked("delivery-old", sentence, "on"))
    if not delivery.lines:
        found.append(blocked("delivery-empty", "Say which cans came: at least one line.", ""))
    if delivery.asked == Delivery.Asked.CARD_SHOWN and not delivery.asked_of.strip():
        found.append(blocked("asked-of", "Type whose 609 card was shown.", "asked_of"))
    return found


def _line_problems(number: int, line: LineIn) -> list[Finding]:
    found = []
    in_lots = sum(cans for _, cans in line.lots)
    if min(line.on_slip, line.sound, line.damaged, *(cans for _, cans in line.lots), 0) < 0:
        found.append(blocked("line-negative", "Numbers of cans cannot be below zero.", f"sound_{number}"))
    if line.sound + line.damaged < 1:
        found.append(
            blocked("line-empty", f"{line.type}: no can came. Leave the line out.", f"sound_{number}")
        )
    if line.sound + line.damaged > line.on_slip:
        sentence = (
            f"{line.type}: {line.sound} sound and {line.damaged} damaged are more than the {line.on_slip} on the slip."
            " Count again, or put the slip's number right."
        )
        found.append(blocked("line-too-many", sentence, f"sound_{number}"))
    if in_lots > line.sound:
        sentence = f"{line.type}: the lots hold {in_lots} cans, but {line.sound} came sound."
        found.append(blocked("line-lots", sentence, f"lots_{number}"))
    if line.on_slip > MOST_CANS:
        sentence = f"{line.on_slip} cans on one line? Type cases and cans apart; {MOST_CANS} is the most."
        found.append(blocked("line-absurd", sentence, f"sound_{number}"))
    return found


@transaction.atomic
def undo_delivery(delivery: Delivery, *, why: str, today: date, at: datetime, by: Person) -> DeliveryUndone:
    """Take back a delivery logged by mistake. Refused once a can of it was weighed or drawn from."""
    found = []
    if not why.strip():
        found.append(blocked("why-empty", "Say in a few words why it is undone.", "why"))
    if DeliveryUndone.objects.filter(delivery=delivery).exists():
        found.append(blocked("delivery-undone", f"{delivery.number} is already undone.", "why"))
    cans = [
        row.container
        for row in DeliveredCan.objects.filter(line__delivery=delivery).select_related("container")
    ]
    used = sorted({can.code for can in cans if can.tickets.exists()})
    if used:
        sentence = f"{', '.join(used[:5])} of this delivery was already weighed for use. It cannot be undone."
        found.append(blocked("delivery-used", sentence, "why"))
    refuse_if_blocked(found)
    text = f"Undone: {delivery.number}, {why.strip()}"[:200]
    entry = reverse(delivery.entry, on=today, text=text, at=at, by=by)
    gone = [
        Fate(container=can, what=Fate.What.UNDONE, at=at, by=by) for can in cans if not hasattr(can, "fate")
    ]
    Fate.objects.bulk_create(gone)
    return DeliveryUndone.objects.create(delivery=delivery, entry=entry, why=why.strip(), at=at, by=by)


@transaction.atomic
def add_invoice(delivery: Delivery, invoice: InvoiceIn, *, today: date, at: datetime, by: Person) -> Invoice:
    """Put an invoice on a delivery, or put its price right. No weight moves; the earlier invoice is kept."""
    found = []
    if not invoice.number.strip():
        found.append(blocked("invoice-empty", "Type the invoice number.", "number"))
    if invoice.dated > today:
        found.append(blocked("invoice-future", "That day has not come yet.", "dated"))
    if not 0 <= invoice.total_cents <= 10_000_000:
        found.append(blocked("invoice-total", "Type the total in dollars, for example 642.18.", "total"))
    refuse_if_blocked(found)
    make_findable(delivery.establishment, findable_delivery(delivery, invoice.number))
    return Invoice.objects.create(
        delivery=delivery,
        number=invoice.number.strip(),
        dated=invoice.dated,
        total_cents=invoice.total_cents,
        at=at,
        by=by,
    )
