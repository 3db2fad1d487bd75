"""Deliveries: what came, on which slip, can by can; and the rest of a slip that comes later."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.db import transaction

from inventory.core.ledger import Leg, Purpose
from inventory.models import (
    Container,
    ContainerType,
    DeliveredCan,
    Delivery,
    DeliveryLine,
    DeliveryUndone,
    Fate,
    Receipt,
    Supplier,
)
from inventory.posting import post
from inventory.services.finding import findable_delivery
from inventory.services.slips import (
    DeliveryIn,
    LineIn,
    RestIn,
    as_slip,
    delivery_problems,
    line_problems,
    rest_problems,
    slip_problems,
    twin_problems,
)
from inventory.services.stocking import number_cans
from shop.core.findings import refuse_if_blocked
from shop.models import Establishment, Person
from shop.services import next_number
from shop.services.finding import make_findable

Came = tuple[DeliveryLine, list[Container], list[Container]]  # sound ones, damaged ones


@transaction.atomic
def receive_delivery(
    delivery: DeliveryIn, establishment: Establishment, *, today: date, at: datetime, by: Person
) -> Delivery:
    """Take in a delivery: every can gets its own number; sound ones enter the book at label weight.

    Raises ``Refused`` when the slip is already in (with the number of the first), when one of that day looks just like
    it and nobody said that it is another, when a day lies ahead, or when the numbers of a line do not fit each other.
    """
    slip = as_slip(delivery.slip)
    refuse_if_blocked([*delivery_problems(delivery, today), *slip_problems(delivery.supplier, slip)])
    refuse_if_blocked(
        finding
        for number, line in enumerate(delivery.lines)
        for finding in line_problems(number, line, delivery.on)
    )
    hold_slips(delivery.supplier)  # two people with one slip: the second one finds the first one's
    refuse_if_blocked(slip_problems(delivery.supplier, slip))
    refuse_if_blocked(twin_problems(delivery, establishment))
    made = [
        (line, *_numbered(line.type, line.sound, line.damaged, line.lots, establishment, delivery.on, at, by))
        for line in delivery.lines
    ]
    legs = [leg for line, sound, _ in made for leg in _received(line.type, sound)]
    text = f"Received from {delivery.supplier.name}, slip {slip}"
    logged = Delivery.objects.create(
        establishment=establishment,
        number=f"D{delivery.on:%y}-{next_number(f'D{delivery.on:%y}', establishment, by=by):04d}",
        supplier=delivery.supplier,
        slip=slip,
        attempt=DeliveryUndone.objects.filter(
            delivery__supplier=delivery.supplier, delivery__slip=slip
        ).count(),
        on=delivery.on,
        asked=delivery.asked,
        asked_of=delivery.asked_of.strip(),
        entry=post(establishment, legs, on=delivery.on, late=today, text=text, at=at, by=by),
        at=at,
        by=by,
    )
    came = [(_line(logged, line), sound, damaged) for line, sound, damaged in made]
    _log_cans(came, None, at=at, by=by)
    make_findable(establishment, findable_delivery(logged))
    return logged


def hold_slips(supplier: Supplier) -> None:
    """Lock the supplier, so that what is said of his slips is said one after the other."""
    Supplier.objects.select_for_update(no_key=True).get(pk=supplier.pk)


def _line(delivery: Delivery, line: LineIn) -> DeliveryLine:
    return DeliveryLine.objects.create(
        delivery=delivery, type=line.type, ordered=line.ordered, on_slip=line.on_slip, due=line.due
    )


def _numbered(
    kind: ContainerType,
    sound: int,
    damaged: int,
    lots: Sequence[tuple[str, int]],
    house: Establishment,
    on: date,
    at: datetime,
    by: Person,
) -> tuple[list[Container], list[Container]]:
    """Number the cans of one line: the sound ones with their lots, then the damaged ones."""
    named = [lot for lot, cans in lots for _ in range(cans)]
    named += [""] * (sound - len(named) + damaged)
    cans = number_cans(kind, named, house, on=on, at=at, by=by)
    return cans[:sound], cans[sound:]


def _received(kind: ContainerType, sound: Sequence[Container]) -> list[Leg]:
    return [Leg("supplier", can.code, kind.net, Purpose.RECEIVED) for can in sound]


def _log_cans(came: Sequence[Came], receipt: Receipt | None, *, at: datetime, by: Person) -> None:
    DeliveredCan.objects.bulk_create(
        DeliveredCan(container=can, line=line, receipt=receipt, sound=is_sound)
        for line, *cans in came
        for is_sound, some in zip((True, False), cans, strict=True)
        for can in some
    )
    Fate.objects.bulk_create(
        Fate(container=can, what=Fate.What.REFUSED, why="damaged on delivery", at=at, by=by)
        for _, _, damaged in came
        for can in damaged
    )


@transaction.atomic
def receive_rest(delivery: Delivery, rest: RestIn, *, today: date, at: datetime, by: Person) -> Receipt:
    """Take in what was to come of a slip. Its cans are numbered on and belong to the same delivery.

    Raises ``Refused`` when the delivery is undone, nothing came, or more came than was to come.
    """
    Delivery.objects.select_for_update(no_key=True, of=("self",)).get(pk=delivery.pk)
    refuse_if_blocked(rest_problems(delivery, rest, today))
    house = delivery.establishment
    came = [
        (one.line, *_numbered(one.line.type, one.sound, one.damaged, one.lots, house, rest.on, at, by))
        for one in rest.lines
    ]
    legs = [leg for line, sound, _ in came for leg in _received(line.type, sound)]
    text = f"Received from {delivery.supplier.name}, rest of slip {delivery.slip}"
    entry = post(house, legs, on=rest.on, late=today, text=text, at=at, by=by)
    receipt = Receipt.objects.create(delivery=delivery, on=rest.on, entry=entry, at=at, by=by)
    _log_cans(came, receipt, at=at, by=by)
    return receipt
