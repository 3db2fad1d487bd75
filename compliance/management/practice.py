"""The practice shop: a quarter of invented work, done by calling the real services one after the other.

Nobody in it exists. The same rows come out every time: every weight follows from the number of the can and from
``fixtures/practice_jobs.csv``; every instant is the shop's own clock in April to July 2026.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import date, datetime

from django.conf import settings
from django.db import transaction

from compliance import services as bay
from compliance.core.stages import LeakResult, StageKind
from compliance.management.practice_cards import cards_and_statements
from compliance.management.practice_deliveries import crushed_can, deliver
from compliance.management.practice_photos import photograph_label, photograph_scale
from compliance.management.practice_tables import makers_table
from compliance.management.practice_work import BEGAN, PASSWORD, PIN, ZONE, Shop, Work, at, read
from inventory import services as cabinet
from inventory.queries import empties, in_the_cabinet
from shop import services as house
from shop.core.mass import Unit
from shop.models import Equipment, Establishment, Person

RETURNS = "ZZZ1SAMP6E7000186"  # charged in May, in the bays again on the first of July
BY_THE_TABLE = "SMP-371"  # a finished job whose readings are told by the maker's table
PHOTOGRAPHED = "SMP-418"  # the plate of a finished job whose label was photographed


def seed() -> Shop:
    """Make the practice shop in an empty database."""
    with transaction.atomic():
        shop = _people()
        _gear(shop)
        _stock(shop)
        for day, happens in sorted([*_office_days(), *_job_days()], key=lambda one: one[0]):
            happens(shop, day.date())
        _in_the_bays(shop)
    return shop


def _people() -> Shop:
    establishment = Establishment.objects.create(
        name="Copper Gulch Auto Repair",
        legal_name="Copper Gulch Auto Repair (invented)",
        address="418 Quarry Road, Sample Springs, ST 00000",
        phone="555-0142",
        time_zone=str(ZONE),
    )
    marta = Person(establishment=establishment, username="marta", name="Marta Quill", role="owner")
    marta.set_password(PASSWORD)
    marta.save()
    began = at(BEGAN, 8)

    def hired(name: str, username: str, role: str) -> Person:
        new = house.PersonIn(name, username, role, PASSWORD)
        return house.add_person(new, establishment, at=began, by=marta)

    shop = Shop(
        establishment,
        hired("Lee Okonma", "lee", "front office"),
        hired("Dev Larkin", "dev", "technician"),
        hired("Rosa Tamayo", "rosa", "technician"),
        marta,
    )
    for person, number, issued in (
        (shop.dev, "SAMPLE-7741", date(2019, 3, 12)),
        (shop.rosa, "SAMPLE-8120", date(2022, 5, 6)),
    ):
        card = house.CardIn("Sample Certification Program (invented)", number, issued, person.name)
        house.add_card(person, card, today=BEGAN, at=began, by=marta)
        house.authorise_person(person, first_day=max(issued, date(2021, 1, 4)), at=began, by=marta)
    for person in (shop.lee, shop.dev, shop.rosa, marta):
        house.set_pin(PIN, at=began, by=person)
    return shop


def _gear(shop: Shop) -> None:
    kinds = Equipment.Kind
    began, gas = at(BEGAN, 8), {"R-134a": "RE-1", "R-1234yf": "RE-2"}
    pieces = [
        house.EquipmentIn(
            "SC-1", kinds.SCALE, date(2024, 1, 8), model="sample bench scale", division=read(1)
        ),
        house.EquipmentIn(
            "SC-2", kinds.SCALE, date(2024, 1, 8), model="sample floor scale", division=read(5)
        ),
        house.EquipmentIn("VP-1", kinds.PUMP, date(2021, 2, 1), model="sample pump"),
        house.EquipmentIn("LD-1", kinds.DETECTOR, date(2023, 5, 2), model="sample detector"),
        *(
            house.EquipmentIn(
                code,
                kinds.MACHINE,
                date(2021, 2, 3),
                maker="as on the plate (invented)",
                model=f"RE-sample-{code[-1]}00",
                serial=f"S-0041{code[-1]}",
                made="Jan 2021",
                does=Equipment.Does.RECOVER,
                refrigerants=refrigerant,
                standard={
                    "RE-1": "SAE J2810, tested by a sample laboratory",
                    "RE-2": "40 CFR 82 Subpart B App. F",
                }[code],
            )
            for refrigerant, code in gas.items()
        ),
    ]
    for piece in pieces:
        made = house.add_equipment(piece, shop.establishment, today=BEGAN, at=began, by=shop.marta)
        shop.gear[made.code] = made


def _stock(shop: Shop) -> None:
    began = at(BEGAN, 16)
    for gas, name, net, shell in (("R-134a", "12-oz can", 340, 126), ("R-1234yf", "8-oz can", 227, 98)):
        kind = cabinet.ContainerTypeIn(gas, name, read(net), read(shell))
        shop.kinds[gas] = cabinet.add_container_type(kind, at=began, by=shop.marta)
    for code, gas, inside in (("RC-02", "R-134a", 1110), ("RC-05", "R-1234yf", 0)):
        stamps = cabinet.CylinderIn(
            code,
            gas,
            read("11.0", Unit.LB),
            read("26.2", Unit.LB),
            read(4990 + inside),
            date(2024, 3, 1),
            f"S-{code}",
        )
        shop.cylinders[gas] = cabinet.add_cylinder(
            stamps, shop.establishment, on=BEGAN, at=began, by=shop.marta
        )
    opening = [
        cabinet.OpeningIn(shop.kinds["R-134a"], 14, "L23D-02"),
        cabinet.OpeningIn(shop.kinds["R-1234yf"], 6, "C25K"),
    ]
    cabinet.open_cabinet(opening, shop.establishment, on=BEGAN, at=began, by=shop.marta)
    supplier = cabinet.SupplierIn(
        "Sample Parts Supply", "77 Freight Way, Sample Springs, ST 00000", "555-0150"
    )
    shop.supplier = cabinet.add_supplier(supplier, shop.establishment, at=began, by=shop.lee)


Happening = tuple[datetime, Callable[[Shop, date], None]]


def _office_days() -> list[Happening]:
    days: list[Happening] = [
        (at(date(2026, 4, 1), 9), cards_and_statements),
        (
            at(date(2026, 4, 2), 8, 40),
            deliver("88412", "R-134a", 36, 35, 1, "L24B-07", ("550917", 59840, 4378)),
        ),
        (at(date(2026, 4, 2), 8, 50), crushed_can),
        (at(date(2026, 4, 20), 9), deliver("88977", "R-1234yf", 12, 12, 0, "C26A", ("551340", 67180, 4700))),
        (at(date(2026, 5, 18), 8, 30), deliver("89630", "R-134a", 24, 12, 0, "L24C-11", None)),
    ]
    days += [(at(date(2026, month, 5), 7, 30), _scale_check) for month in (4, 5, 6)]
    days.append((at(date(2026, 7, 1), 7, 30), _scale_check))
    days += [(at(day, 16, 30), _count) for day in (date(2026, 4, 30), date(2026, 5, 29), date(2026, 6, 30))]
    days += [(at(day, 16, 50), _empties) for day in (date(2026, 4, 30), date(2026, 5, 29))]
    days.append((at(date(2026, 5, 4), 18), _april_report))
    days.append((at(date(2026, 6, 26), 7, 40), _air_check))
    return days


def _scale_check(shop: Shop, day: date) -> None:
    for code, known, shown in (("SC-1", 500, 501 if day.month == 6 else 500), ("SC-2", 5000, 5000)):
        check = house.CheckIn(day, f"{known} g check weight", known=read(known), shown=read(shown))
        house.log_check(shop.gear[code], check, today=day, at=at(day, 7, 30), by=shop.marta)


def _count(shop: Shop, day: date) -> None:
    """The monthly count; in June one open can is 4 g lighter than its last ticket."""
    counted = []
    for container in in_the_cabinet(shop.establishment).order_by("place_id"):
        if container.kind == "cylinder":
            held = round(container.book.grams / 5) * 5
            ticket = cabinet.TicketIn(shop.gear["SC-2"], read(4990 + held))
            counted.append(cabinet.CountedIn(container, "weighed", ticket))
        elif container.last_text is None:
            counted.append(cabinet.CountedIn(container, "sealed"))
        else:
            if day.month == 6 and not any(
                one.how == "weighed" and one.container.kind == "can" for one in counted
            ):
                shop.gross[container.code] = shop.weight(container.code) - 4
            ticket = cabinet.TicketIn(shop.gear["SC-1"], read(shop.weight(container.code)))
            counted.append(cabinet.CountedIn(container, "weighed", ticket))
    cabinet.record_count(cabinet.CountIn(day, counted), shop.establishment, at=at(day, 16, 30), by=shop.marta)


def _empties(shop: Shop, day: date) -> None:
    """What was emptied since goes to scrap, marked empty."""
    cans = empties(shop.establishment).filter(fate__what="emptied")
    scrap = cabinet.DisposalIn("scrap metal")
    cabinet.dispose_of(list(cans), scrap, on=day, at=at(day, 16, 50), by=shop.dev)


def _air_check(shop: Shop, day: date) -> None:
    """RC-02 stood in the bay over night; pure R-134a shows 81.8 psi at 77 °F at sea level."""
    cylinder = in_the_cabinet(shop.establishment).get(pk="RC-02")
    read_off = cabinet.AirCheckIn("83 psi", "77 °F", at_rest=True)
    cabinet.check_for_air(cylinder, read_off, on=day, at=at(day, 7, 40), by=shop.dev)


def _april_report(shop: Shop, day: date) -> None:
    from shop.core.period import Period

    april = Period(date(2026, 4, 1), date(2026, 4, 30))
    bay.issue_usage_report(shop.establishment, april, today=day, at=at(day, 18), by=shop.marta)


def _job_days() -> list[Happening]:
    with open(settings.BASE_DIR / "fixtures" / "practice_jobs.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return [
        (datetime.fromisoformat(f"{row['day']}T{row['time']}").replace(tzinfo=ZONE), _job(row))
        for row in rows
    ]


def _job(row: dict[str, str]) -> Callable[[Shop, date], None]:
    def happens(shop: Shop, day: date) -> None:
        work = Work(shop, row)
        if row["plate"] == PHOTOGRAPHED:
            photograph_label(work)
        if row["plate"] == BY_THE_TABLE:
            makers_table(work)
        work.done()

    return happens


def _in_the_bays(shop: Shop) -> None:
    """Two cars stand in the bays when the practice clock starts: one under vacuum, one being charged.

    The first was charged in May and came back with a third of it; the second one's table was typed already.
    """
    base = {
        "tolerance_g": "20",
        "miss_g": "0",
        "vin": "",
        "path": "",
        "refrigerant": "R-134a",
        "phone": "555-0199",
    }
    wagon = {
        "day": "2026-07-01",
        "time": "08:05",
        "who": "rosa",
        "label_g": "560",
        "plate": "SMP-186",
        "vin": RETURNS,
    }
    about = {
        "description": "2011 wagon, blue",
        "customer": "Idris Fell",
        "odometer": "149220",
        "complaint": "blows warm",
    }
    first = Work(shop, base | wagon | about | {"recovered_g": "145"})
    first.recover(145)
    first.leak_check(LeakResult.NONE_SEEN)
    pressed = first.later(5)
    started = {
        "pump": "VP-1",
        "started_at": pressed.strftime("%Y-%m-%dT%H:%M"),
        "started_at_instant": pressed.isoformat(),
    }
    bay.save_draft(first.job, StageKind.EVACUATION, started, at=first.clock, by=first.by)
    sedan = {"day": "2026-07-01", "time": "07:40", "who": "dev", "label_g": "500", "plate": "SMP-187"}
    about = {
        "description": "2016 sedan, silver",
        "customer": "Carmen Ruelas",
        "odometer": "97310",
        "complaint": "weak on hot days",
    }
    second = Work(shop, base | sedan | about | {"recovered_g": "230"})
    photograph_label(second)
    second.recover(230)
    second.leak_check(LeakResult.NONE_SEEN)
    second.evacuate()
    second.charge(350)
    photograph_scale(second)
    second.hang_next()
    makers_table(second)
