"""Rows and inputs for the tests. Everything that a service can make is made by the service.

The shop of these tests is invented: Copper Gulch Auto Repair, with three people and an owner.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from inventory.core.importing import What
from inventory.core.weighing import Style
from inventory.models import Container, ContainerType, Delivery, Import, Supplier
from inventory.queries import in_the_cabinet
from inventory.services import (
    ContainerTypeIn,
    CylinderIn,
    DeliveryIn,
    HoseMeasureIn,
    LineIn,
    SupplierIn,
    TicketIn,
    add_container_type,
    add_cylinder,
    add_supplier,
    keep_draft,
    receive_delivery,
    write_import,
)
from shop.core.mass import Mass, Reading, Unit
from shop.core.roles import Role
from shop.models import Equipment, Establishment, Person
from shop.services import (
    CardIn,
    CheckIn,
    EquipmentIn,
    PersonIn,
    add_card,
    add_equipment,
    add_person,
    authorise_person,
    log_check,
)

PASSWORD = "blue lantern weather"
SET_UP = date(2024, 1, 8)  # the day the shop took up its book
DAY = date(2024, 4, 2)  # the day of a test's own events, where the day itself does not matter
SET_UP_AT = datetime(2024, 1, 8, 16, 0, tzinfo=UTC)
NOON = datetime(2024, 4, 2, 18, 0, tzinfo=UTC)  # noon in the shop


def reading(text: str, unit: Unit = Unit.G) -> Reading:
    """A plain decimal reading, such as ``reading("466")`` or ``reading("16.4", Unit.OZ)``."""
    return Reading(text, unit, Mass.of(text, unit))


def make_establishment(name: str = "Copper Gulch Auto Repair") -> Establishment:
    """A shop. Only the set-up of a new installation makes one, so there is no service for it."""
    return Establishment.objects.create(
        name=name,
        legal_name=f"{name}, LLC",
        address="100 Example Street, Copper Gulch, CO 80000",
        phone="(555) 010-0142",
        time_zone="America/Denver",
    )


def make_owner(establishment: Establishment, name: str = "Marta Quill") -> Person:
    """The first person of a shop, who lets all others in."""
    owner = Person(establishment=establishment, name=name, username=name.split()[0].lower(), role=Role.OWNER)
    owner.set_password(PASSWORD)
    owner.save()
    return owner


@dataclass(frozen=True, slots=True)
class Shop:
    """Copper Gulch Auto Repair with its people, its equipment and an empty cabinet."""

    establishment: Establishment
    marta: Person  # owner
    lee: Person  # front office
    dev: Person  # technician, card SAMPLE-7741
    rosa: Person  # technician, card SAMPLE-8120
    scale: Equipment  # SC-1, 1 g
    equipment: dict[str, Equipment]  # SC-1, RE-1, RE-2, VP-1, LD-1
    can12: ContainerType  # R-134a, 340 g in a shell of 126 g
    can8: ContainerType  # R-1234yf, 227 g
    supplier: Supplier
    rc02: Container  # recovery cylinder, R-134a
    rc05: Container  # recovery cylinder, R-1234yf


def make_shop() -> Shop:
    """The whole shop, by the services that a shop uses."""
    house = make_establishment()
    marta = make_owner(house)
    lee = _person(house, "Lee Okonma", Role.FRONT_OFFICE, by=marta)
    dev = _person(house, "Dev Larkin", Role.TECHNICIAN, by=marta)
    rosa = _person(house, "Rosa Tamayo", Role.TECHNICIAN, by=marta)
    _card(dev, "SAMPLE-7741", date(2019, 3, 12), date(2021, 1, 4), by=marta)
    _card(rosa, "SAMPLE-8120", date(2022, 5, 6), date(2022, 5, 9), by=marta)
    equipment = {piece.code: _equipment(piece, house, by=marta) for piece in EQUIPMENT}
    check = CheckIn(on=SET_UP, against="500 g weight", known=reading("500"), shown=reading("500"))
    log_check(equipment["SC-1"], check, today=SET_UP, at=SET_UP_AT, by=dev)
    return Shop(
        establishment=house,
        marta=marta,
        lee=lee,
        dev=dev,
        rosa=rosa,
        scale=equipment["SC-1"],
        equipment=equipment,
        can12=add_container_type(CAN_12, at=SET_UP_AT, by=lee),
        can8=add_container_type(CAN_8, at=SET_UP_AT, by=lee),
        supplier=add_supplier(SupplierIn("Sample Parts Supply"), house, at=SET_UP_AT, by=lee),
        rc02=_cylinder("RC-02", "R-134a", house, by=lee),
        rc05=_cylinder("RC-05", "R-1234yf", house, by=lee),
    )


CAN_12 = ContainerTypeIn("R-134a", "12-oz can", net=reading("340"), shell=reading("126"))
CAN_8 = ContainerTypeIn("R-1234yf", "8-oz can", net=reading("227"), shell=reading("108"))
EQUIPMENT = (
    EquipmentIn("SC-1", Equipment.Kind.SCALE, date(2023, 5, 2), division=reading("1")),
    EquipmentIn(
        "RE-1",
        Equipment.Kind.MACHINE,
        date(2020, 2, 3),
        maker="Sample Machine Works",
        model="R-10",
        serial="RE1-00417",
        does=Equipment.Does.RECOVER,
        refrigerants="R-134a",
        standard="SAE J2810, tested by Sample Laboratories",
    ),
    EquipmentIn(
        "RE-2",
        Equipment.Kind.MACHINE,
        date(2022, 6, 1),
        maker="Sample Machine Works",
        model="R-20",
        serial="RE2-00102",
        does=Equipment.Does.RECOVER,
        refrigerants="R-1234yf",
        standard="SAE J2851, tested by Sample Laboratories",
    ),
    EquipmentIn("VP-1", Equipment.Kind.PUMP, date(2020, 2, 3)),
    EquipmentIn("LD-1", Equipment.Kind.DETECTOR, date(2021, 9, 14)),
)


def _person(house: Establishment, name: str, role: Role, *, by: Person) -> Person:
    person = PersonIn(name, name.split()[0].lower(), role, PASSWORD)
    return add_person(person, house, at=SET_UP_AT, by=by)


def _card(person: Person, number: str, issued_on: date, first_day: date, *, by: Person) -> None:
    card = CardIn("Sample Certification Program", number, issued_on, person.name)
    add_card(person, card, today=SET_UP, at=SET_UP_AT, by=by)
    authorise_person(person, first_day=first_day, at=SET_UP_AT, by=by)


def _equipment(piece: EquipmentIn, house: Establishment, *, by: Person) -> Equipment:
    return add_equipment(piece, house, today=SET_UP, at=SET_UP_AT, by=by)


def _cylinder(
    code: str, refrigerant: str, house: Establishment, *, by: Person, gross: str = "17.1"
) -> Container:
    cylinder = CylinderIn(
        code,
        refrigerant,
        tare=reading("17.1", Unit.LB),
        water=reading("26.2", Unit.LB),
        gross=reading(gross, Unit.LB),
        requalified_on=date(2022, 11, 1),
        serial=f"SAMPLE-{code}",
    )
    return add_cylinder(cylinder, house, on=SET_UP, at=SET_UP_AT, by=by)


def cylinder_holding(shop: Shop, code: str, pounds: str) -> Container:
    """One more cylinder for R-134a, with so much in it; its water capacity is 26.2 lb."""
    gross = str(Decimal("17.1") + Decimal(pounds))
    return _cylinder(code, "R-134a", shop.establishment, by=shop.lee, gross=gross)


def delivery_in(shop: Shop, *lines: LineIn, slip: str = "88412", on: date = DAY) -> DeliveryIn:
    """A delivery from Sample Parts Supply; by default one case of twelve 12-oz cans of R-134a."""
    return DeliveryIn(shop.supplier, slip, on, lines or (LineIn(shop.can12, on_slip=12, sound=12),))


def receive(shop: Shop, *lines: LineIn, slip: str = "88412", on: date = DAY, at: datetime = NOON) -> Delivery:
    """Lee takes in a delivery."""
    delivery = replace(delivery_in(shop, *lines, slip=slip, on=on), another=True)
    return receive_delivery(delivery, shop.establishment, today=on, at=at, by=shop.lee)


def cans_of(delivery: Delivery) -> list[Container]:
    """The sound cans of a delivery, by number."""
    cans = Container.objects.filter(delivered__line__delivery=delivery, delivered__sound=True)
    return list(cans.order_by("pk"))


def ticket_in(shop: Shop, text: str) -> TicketIn:
    """A reading on SC-1, in grams."""
    return TicketIn(shop.scale, reading(text))


def hoses_in(shop: Shop, can: Container, *weights: str, **said: Any) -> HoseMeasureIn:
    """Three fillings of the hose set H-1 from a can of R-134a on SC-1; by default a sealed one: 6, 6 and 7 g."""
    before, first, second, third = (reading(one) for one in weights or ("466", "460", "454", "447"))
    asked: dict[str, Any] = {
        "cylinder": shop.rc02,
        "scale": shop.scale,
        "style": Style.BARE,
        "left": "vapour",
    }
    return HoseMeasureIn(hoses="H-1", can=can, readings=(before, first, second, third), **asked | said)


def codes(containers: Sequence[Container]) -> list[str]:
    return [container.code for container in containers]


def book_of(shop: Shop) -> dict[str, Mass]:
    """What the book says each container holds."""
    return {container.code: container.book for container in in_the_cabinet(shop.establishment)}


def bring_in(shop: Shop, what: What, content: str, name: str = "list.csv", *, at: datetime = NOON) -> Import:
    """Marta brings in a CSV file."""
    house = shop.establishment
    draft = keep_draft(what, name, content.encode(), house, at=at, by=shop.marta)
    return write_import(draft, today=DAY, at=at, by=shop.marta)
