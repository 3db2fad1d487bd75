"""Shipments: cylinders weighed and sent to a facility, and the facility's receipt."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.ledger import Leg, Purpose
from inventory.core.refrigerants import UNKNOWN
from inventory.core.requalification import sending_findings
from inventory.models import (
    Container,
    Facility,
    FacilityReceipt,
    Fate,
    Movement,
    ReceiptLine,
    Shipment,
    ShippedCylinder,
)
from inventory.posting import post
from inventory.queries import cylinder_limit
from inventory.services.holds import not_to_be_used
from inventory.services.stocking import end_use
from inventory.services.weighing import TicketIn, reading_problems, weigh
from shop.core.findings import Finding, blocked, refuse_if_blocked, refuse_unless_seen
from shop.core.house import HouseRules
from shop.core.mass import ZERO, Mass, Reading, Unit, total
from shop.models import Establishment, Person
from shop.queries import rules_on
from shop.services import next_number

ASKS_FOR_A_NOTE = 0.02  # of our weight; the tool's own choice


@dataclass(frozen=True, slots=True)
class FacilityIn:
    name: str
    address: str
    phone: str = ""
    reclaimer_checked_on: date | None = None


@dataclass(frozen=True, slots=True)
class CylinderSent:
    """One cylinder as it left: the scale's reading, and whether it comes back."""

    container: Container
    ticket: TicketIn
    comes_back: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class ShipmentIn:
    facility: Facility
    purpose: str
    carrier: str
    cylinders: Sequence[CylinderSent]
    driver: str = ""
    shipping_paper: str = ""
    shipper: str = ""
    capped: bool = False


@dataclass(frozen=True, slots=True)
class ReceiptIn:
    """Their ticket; ``nets`` gives their net weight by cylinder number."""

    number: str
    on: date
    nets: dict[str, Reading]
    note: str = ""


@transaction.atomic
def add_facility(
    facility: FacilityIn, establishment: Establishment, *, today: date, at: datetime, by: Person
) -> Facility:
    """A place that refrigerant may be sent to: name and address, as 40 CFR 82.42(b)(1) asks."""
    name, address = facility.name.strip(), " ".join(facility.address.split())
    found = []
    if not name:
        found.append(blocked("facility-name", "Type the facility's name.", "name", "40 CFR 82.42(b)(1)"))
    if len(address) < 8:
        sentence = "Type the facility's whole address: street, place, state."
        found.append(blocked("facility-address", sentence, "address", "40 CFR 82.42(b)(1)"))
    if Facility.objects.filter(
        establishment=establishment, name__iexact=name, address__iexact=address
    ).exists():
        found.append(blocked("facility-known", f"{name} at that address is already on the list.", "name"))
    if facility.reclaimer_checked_on is not None and facility.reclaimer_checked_on > today:
        found.append(blocked("checked-future", "That day has not come yet.", "reclaimer_checked_on"))
    refuse_if_blocked(found)
    return Facility.objects.create(
        establishment=establishment,
        name=name,
        address=address,
        phone=facility.phone.strip(),
        reclaimer_checked_on=facility.reclaimer_checked_on,
        at=at,
        by=by,
    )


@transaction.atomic
def ship_cylinders(
    shipment: ShipmentIn,
    establishment: Establishment,
    *,
    seen: Collection[str] = (),
    on: date,
    at: datetime,
    by: Person,
) -> Shipment:
    """Weigh cylinders and send them off. By the book what left is what the scale showed less the stamped tare; what the
    book had more or less is booked as a difference, never as shipped.

    Raises ``Refused`` for a cylinder that waits for an open job, is over its limit, is out of use or was named twice,
    and when nothing says who carries it; also for one that is past its requalification, unless that code is in
    ``seen``.
    """
    rules = rules_on(establishment, on)
    refuse_unless_seen(_shipment_problems(shipment, rules, on), seen)
    held = Movement.objects.balances([one.container.code for one in shipment.cylinders])
    number = f"S{on:%y}-{next_number(f'S{on:%y}', establishment, by=by):02d}"
    legs = [leg for one in shipment.cylinders for leg in _legs(one, held[one.container.code])]
    text = f"{number}: sent to {shipment.facility.name}"
    entry = post(establishment, legs, on=on, text=text, at=at, by=by)
    sent = Shipment.objects.create(
        establishment=establishment,
        number=number,
        facility=shipment.facility,
        on=on,
        purpose=shipment.purpose,
        carrier=shipment.carrier.strip(),
        driver=shipment.driver.strip(),
        shipping_paper=shipment.shipping_paper.strip(),
        shipper=shipment.shipper.strip(),
        capped=shipment.capped,
        entry=entry,
        at=at,
        by=by,
    )
    for one in shipment.cylinders:
        ShippedCylinder.objects.create(
            shipment=sent,
            container=one.container,
            ticket=weigh(one.container, one.ticket, at=at, by=by),
            net=_net(one),
            mixed=is_mixed(one.container),
            comes_back=one.comes_back,
            note=one.note.strip(),
        )
        if not one.comes_back:
            end_use(one.container, Fate.What.SHIPPED, why=number, at=at, by=by)
    return sent


def is_mixed(cylinder: Container) -> bool:
    """Whether nobody can say what it holds."""
    return cylinder.refrigerant_id == UNKNOWN or hasattr(cylinder, "mixed")


def _net(one: CylinderSent) -> Mass:
    return one.ticket.reading.mass - one.container.cylinder.tare


def _legs(one: CylinderSent, held: Mass) -> Iterator[Leg]:
    code, net = one.container.code, _net(one)
    if net > held:
        yield Leg("unexplained", code, net - held, Purpose.COUNTED)
    if held > net:
        yield Leg(code, "unexplained", held - net, Purpose.COUNTED)
    yield Leg(code, "facility", net, Purpose.SHIPPED)


def _shipment_problems(shipment: ShipmentIn, rules: HouseRules, on: date) -> list[Finding]:
    found = []
    if not shipment.carrier.strip():
        found.append(
            blocked("carrier-empty", "Say who carries it: our own van, the facility's truck, …", "carrier")
        )
    if not shipment.cylinders:
        found.append(blocked("shipment-empty", "Choose at least one cylinder and weigh it.", ""))
    if not shipment.capped:
        sentence = "Cap the valves, stand the cylinders upright and check them for leaks; then say so here."
        found.append(blocked("shipment-uncapped", sentence, "capped"))
    seen: set[str] = set()
    for one in shipment.cylinders:
        found += _cylinder_problems(one, rules, on, again=one.container.code in seen)
        seen.add(one.container.code)
    return found


def _cylinder_problems(one: CylinderSent, rules: HouseRules, on: date, *, again: bool) -> list[Finding]:
    cylinder, code = one.container, one.container.code
    if cylinder.kind != "cylinder":
        return [blocked("ship-no-cylinder", f"{code} is a can. Its heel goes into a cylinder first.", code)]
    found = reading_problems(cylinder, one.ticket, field=code)
    if again:
        found.append(blocked("shipped-twice", f"{code} is on this shipment twice.", code))
    if hasattr(cylinder, "fate"):
        fate = cylinder.fate.get_what_display().lower()
        found.append(blocked("out-of-use", f"{code} is out of use ({fate}).", code))
    found += not_to_be_used(cylinder, code)
    for waiting in cylinder.spoken_for.all()[:1]:
        sentence = f"{code} waits for {waiting.holder} to close. Close that job first."
        found.append(blocked("container-waits", sentence, code))
    if found:
        return found
    if _net(one) <= ZERO:
        return [blocked("ship-nothing", f"{code} holds nothing by this weight.", code)]
    past = sending_findings(code, cylinder.cylinder.requalified_on, rules.cylinder_years, on, code)
    return [*_over_its_limit(one, rules), *past]


def _over_its_limit(one: CylinderSent, rules: HouseRules) -> list[Finding]:
    """An overfilled cylinder can burst when it warms; it does not go on the road."""
    limit = cylinder_limit(one.container, rules)
    if _net(one) <= limit:
        return []
    sentence = (
        f"{one.container.code} holds {_net(one).rounded(Unit.G, 0):,} g, its limit is {limit.rounded(Unit.G, 0):,} g."
        " An overfilled cylinder can burst when it warms. Move the excess to another cylinder first."
    )
    return [blocked("ship-over-limit", sentence, one.container.code)]


@transaction.atomic
def log_receipt(
    shipment: Shipment, receipt: ReceiptIn, *, today: date, at: datetime, by: Person
) -> FacilityReceipt:
    """Keep the facility's own weights beside ours. Nothing in the book moves; more than 2 % apart asks for a note."""
    cylinders = list(shipment.cylinders.select_related("container"))
    refuse_if_blocked(_receipt_problems(shipment, receipt, cylinders, today))
    made = FacilityReceipt.objects.create(
        shipment=shipment,
        number=receipt.number.strip(),
        on=receipt.on,
        note=receipt.note.strip(),
        at=at,
        by=by,
    )
    for one in cylinders:
        theirs = receipt.nets[one.container.code]
        ReceiptLine.objects.create(
            receipt=made, cylinder=one, net_text=theirs.text, net_unit=theirs.unit, net=theirs.mass
        )
    return made


def _receipt_problems(
    shipment: Shipment, receipt: ReceiptIn, cylinders: Sequence[ShippedCylinder], today: date
) -> list[Finding]:
    found = []
    if FacilityReceipt.objects.filter(shipment=shipment).exists():
        found.append(blocked("receipt-known", f"The receipt of {shipment.number} is already in.", "number"))
    if not receipt.number.strip():
        found.append(blocked("receipt-number", "Type the number of their ticket.", "number"))
    if not shipment.on <= receipt.on <= today:
        sentence = f"A receipt is dated from {shipment.on:%Y-%m-%d}, when it left, to today."
        found.append(blocked("receipt-day", sentence, "on"))
    missing = [one.container.code for one in cylinders if one.container.code not in receipt.nets]
    found += [blocked("receipt-net", f"Type their net weight of {code}.", code) for code in missing]
    if missing:
        return found
    ours, theirs = total(one.net for one in cylinders), total(one.mass for one in receipt.nets.values())
    if abs(theirs - ours).grams > ASKS_FOR_A_NOTE * ours.grams and len(receipt.note.strip()) < 3:
        sentence = (
            f"Theirs is {theirs.rounded(Unit.G, 0):,} g, ours {ours.rounded(Unit.G, 0):,} g: more than 2 % apart."
            " Check both units, then say in the note what they or you think of it."
        )
        found.append(blocked("receipt-differs", sentence, "note"))
    return found
