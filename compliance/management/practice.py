"""The practice shop: a quarter of invented work, done by calling the real services one after the other.

Nobody in it exists. The same rows come out every time: every weight follows from the number of the can and from
``fixtures/practice_jobs.csv``; every instant is the shop's own clock in April to July 2026.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction
from django.db.models import Q

from compliance import services as bay
from compliance.core.stages import HoldResult, LabelSource, LeakResult, Outcome, PressureResult, StageKind
from compliance.models import CanTicket, Job
from inventory import services as cabinet
from inventory.core.weighing import Style
from inventory.models import Container, ContainerType, Fate, Supplier
from inventory.queries import containers, in_the_cabinet, last_ticket, usable_cans
from shop import services as house
from shop.core.mass import ZERO, Mass, Reading, Unit, grams
from shop.models import Equipment, Establishment, Person

ZONE = ZoneInfo("America/Denver")
PASSWORD = "practice-2026"  # noqa: S105 - of invented people, printed when the demo starts
BEGAN, CLOCK_STARTS = date(2026, 3, 31), datetime(2026, 7, 1, 9, 20, tzinfo=ZONE)


def at(day: date, hours: int, minutes: int = 0) -> datetime:
    return datetime.combine(day, time(hours, minutes), ZONE)


def read(number: int | str, unit: Unit = Unit.G) -> Reading:
    return Reading(str(number), unit, Mass.of(Decimal(number), unit))


@dataclass
class Shop:
    """The practice shop while it is being worked in."""

    establishment: Establishment
    lee: Person
    dev: Person
    rosa: Person
    marta: Person
    kinds: dict[str, ContainerType] = field(default_factory=dict)
    gear: dict[str, Equipment] = field(default_factory=dict)
    cylinders: dict[str, Container] = field(default_factory=dict)
    supplier: Supplier | None = None
    gross: dict[str, int] = field(default_factory=dict)

    def weight(self, code: str) -> int:
        """What the scale really shows for a can, in grams: shells and fills vary a little from can to can."""
        if code not in self.gross:
            number, kind = int(code.rsplit("-", 1)[1]), self.kind_of(code)
            shell = round(kind.shell.grams) + (number * 7) % 7 - 3
            self.gross[code] = shell + round(kind.net.grams) + (number * 5) % 5 - 2
        return self.gross[code]

    def kind_of(self, code: str) -> ContainerType:
        return Container.objects.select_related("can__type").get(pk=code).can.type


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
        (at(date(2026, 4, 2), 8, 40), _delivery("88412", "R-134a", 36, 35, 1, "L24B-07", ("550917", 64218))),
        (at(date(2026, 4, 20), 9), _delivery("88977", "R-1234yf", 12, 12, 0, "C26A", ("551340", 71880))),
        (at(date(2026, 5, 18), 8, 30), _delivery("89630", "R-134a", 24, 12, 0, "L24C-11", None)),
    ]
    days += [(at(date(2026, month, 5), 7, 30), _scale_check) for month in (4, 5, 6)]
    days.append((at(date(2026, 7, 1), 7, 30), _scale_check))
    days += [(at(day, 16, 30), _count) for day in (date(2026, 4, 30), date(2026, 5, 29), date(2026, 6, 30))]
    days.append((at(date(2026, 5, 4), 18), _april_report))
    return days


def _delivery(
    slip: str, gas: str, on_slip: int, sound: int, damaged: int, lot: str, invoice: tuple[str, int] | None
) -> Callable[[Shop, date], None]:
    def happens(shop: Shop, day: date) -> None:
        assert shop.supplier is not None  # noqa: S101
        line = cabinet.LineIn(shop.kinds[gas], on_slip, sound, damaged, ((lot, sound),))
        came = cabinet.DeliveryIn(shop.supplier, slip, day, (line,))
        logged = cabinet.receive_delivery(came, shop.establishment, today=day, at=at(day, 8, 40), by=shop.lee)
        if invoice is not None:
            paper = cabinet.InvoiceIn(invoice[0], day, invoice[1])
            cabinet.add_invoice(logged, paper, today=day, at=at(day, 9), by=shop.lee)

    return happens


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
        Work(shop, row).done()

    return happens


class Work:
    """One job of the list, stage by stage, by the one technician of its row."""

    def __init__(self, shop: Shop, row: dict[str, str]) -> None:
        self.shop, self.row = shop, row
        self.by: Person = getattr(shop, row["who"])
        self.clock = datetime.fromisoformat(f"{row['day']}T{row['time']}").replace(tzinfo=ZONE)
        self.gas, self.label = row["refrigerant"], int(row["label_g"])
        self.job: Job = self.check_in()

    def later(self, minutes: int) -> datetime:
        self.clock += timedelta(minutes=minutes)
        return self.clock

    def check_in(self) -> Job:
        row = self.row
        label = bay.LabelIn(read(row["label_g"]), read(row["tolerance_g"]), LabelSource.UNDER_HOOD)
        car = bay.CheckInIn(
            vehicle=house.VehicleIn(row["vin"], row["plate"], row["description"]),
            customer=row["customer"],
            complaint=row["complaint"],
            refrigerant=self.gas,
            label=label,
            phone=row["phone"],
            odometer=row["odometer"],
        )
        return bay.check_in(car, self.shop.establishment, on=self.clock.date(), at=self.clock, by=self.by)

    def recover(self, mass: int) -> None:
        cylinder = (
            containers(self.shop.establishment)
            .select_related("cylinder")
            .get(pk=self.shop.cylinders[self.gas].pk)
        )
        scale, begun = self.shop.gear["SC-1"], self.later(6)
        last = last_ticket(cylinder)
        before = round((last.gross if last is not None else cylinder.cylinder.tare + cylinder.book).grams)
        recovery = bay.RecoveryIn(
            machine=self.shop.gear["RE-1" if self.gas == "R-134a" else "RE-2"],
            cylinder=cylinder,
            scale=scale,
            before=read(before),
            after=read(before + mass),
            started_at=begun,
            note="nothing came out; gauge at 0 psi before" if mass == 0 else "",
        )
        bay.record_recovery(self.job, recovery, at=self.later(19), by=self.by)

    def leak_check(self, result: LeakResult, detail: str = "") -> None:
        places = ("compressor", "hoses", "condenser", "service ports", "evaporator drain")
        check = bay.LeakCheckIn(("eyes", "electronic detector"), places, result, "LD-1", detail)
        bay.record_leak_check(self.job, check, at=self.later(8), by=self.by)

    def evacuate(self) -> None:
        begun = self.later(4)
        evacuation = bay.EvacuationIn(
            pump="VP-1",
            started_at=begun,
            stopped_at=self.later(35),
            deepest="600 micron",
            result=HoldResult.HELD,
            gauge="electronic gauge",
            hold_minutes=16,
            hold_from="600 micron",
            hold_to="720 micron",
        )
        bay.record_evacuation(self.job, evacuation, at=self.later(17), by=self.by)

    def weigh(
        self, can: Container, moment: CanTicket.Moment, *, stays: bool = False, emptied: bool = False
    ) -> CanTicket:
        ticket = cabinet.TicketIn(self.shop.gear["SC-1"], read(self.shop.weight(can.code)), Style.BARE)
        weighing = bay.WeighingIn(
            can,
            ticket,
            moment,
            emptied=emptied,
            stays_on=stays,
            seen=("sealed-light", "can-lost-on-shelf", "digits-swapped"),
        )
        return bay.weigh_can(self.job, weighing, at=self.later(2), by=self.by)

    def charge(self, wanted: int, *, test: int = 0, slip: int = 0) -> None:
        """Draw what is wanted can by can: open ones first, each down to 2 g above its shell."""
        while wanted > 0:
            can = usable_cans(self.shop.establishment, self.gas).exclude(can_tickets_of(self.job)).first()
            if can is None:
                raise RuntimeError(f"the practice shop ran out of {self.gas}")
            self.weigh(can, CanTicket.Moment.BEFORE)
            if test:
                self.shop.gross[can.code] -= test
                self.weigh(can, CanTicket.Moment.LEAK_TEST, stays=True)
                self.hold(test)
                wanted, test = wanted - test, 0
            room = self.shop.weight(can.code) - self.shell(can) - 2
            take = min(wanted, room)
            self.shop.gross[can.code] -= take
            wanted -= take
            if slip and wanted == 0:
                self.slip_and_retype(can, slip)
            else:
                self.weigh(can, CanTicket.Moment.AFTER, emptied=take == room)

    def slip_and_retype(self, can: Container, slip: int) -> None:
        """The reading is typed wrong, kept, then typed again."""
        self.shop.gross[can.code] += slip
        wrong = self.weigh(can, CanTicket.Moment.AFTER)
        self.shop.gross[can.code] -= slip
        ticket = cabinet.TicketIn(self.shop.gear["SC-1"], read(self.shop.weight(can.code)), Style.BARE)
        again = bay.WeighingIn(can, ticket, CanTicket.Moment.AFTER, seen=("digits-swapped",))
        bay.retype_ticket(wrong, again, at=self.later(1), by=self.by)

    def shell(self, can: Container) -> int:
        kind, number = self.shop.kind_of(can.code), int(can.code.rsplit("-", 1)[1])
        return round(kind.shell.grams) + (number * 7) % 7 - 3

    def hold(self, test: int) -> None:
        held = bay.LeakTestIn(15, PressureResult.STEADY, "52 psi", "52 psi", "84 °F")
        bay.record_leak_test(self.job, held, at=self.later(17), by=self.by)

    def keep_charge(self, *, purge: str = "0", released: int = 0, why: str = "") -> None:
        kept = bay.ChargeIn(grams(6), grams(2), grams(purge), grams(released), why)
        bay.finish_charge(self.job, kept, at=self.later(1), by=self.by)

    def finals(self) -> None:
        readings = bay.FinalReadingsIn(
            True, "31 psi", "195 psi", "44 °F", "84 °F", "38 % RH", "1,500 rpm", "high", "recirculate"
        )
        bay.record_final_readings(self.job, readings, at=self.later(9), by=self.by)

    def close(self, close: bay.CloseIn) -> None:
        moment = self.later(3)
        bay.close_job(self.job, close, today=moment.date(), at=moment, by=self.by)

    def done(self) -> None:
        """The path of this row, from recovery to signature, and the heels of what it emptied."""
        path, miss = self.row["path"], int(self.row["miss_g"])
        self.recover(int(self.row["recovered_g"]))
        if path == "leak-stop":
            return self.stop_for_leak()
        self.leak_check(LeakResult.NONE_SEEN)
        bay.skip_stage(
            self.job,
            StageKind.REPAIR,
            Outcome.NOT_NEEDED,
            reason="no leak seen",
            at=self.later(1),
            by=self.by,
        )
        self.evacuate()
        released = 25 if path == "release" else 0
        test = round(self.label * 0.15) if path == "leak-test" else 0
        self.charge(self.label + 6 + miss + released, test=test, slip=18 if path == "retyped" else 0)
        if path == "overshoot":
            self.recover(miss)
        self.keep_charge(
            purge="1.5" if path == "purge" else "0",
            released=released,
            why="tap left open while the can was changed; bay aired" if released else "",
        )
        self.finals()
        self.close(bay.CloseIn())
        self.empty_heels()
        return None

    def stop_for_leak(self) -> None:
        self.leak_check(LeakResult.FOUND, "condenser, lower left, dye; steady")
        self.close(
            bay.CloseIn(
                stopped="leak found at the condenser, lower left, with dye",
                state_now="recovered, empty, ports capped",
                choice="declined the repair, by phone, told to the front office",
            )
        )

    def empty_heels(self) -> None:
        for row in self.job.can_tickets.filter(emptied=True).select_related("ticket__container"):
            can = containers(self.shop.establishment).get(pk=row.ticket.container_id)
            shown = last_ticket(can)
            if Fate.objects.filter(container=can).exists() or shown is None:
                continue
            empty = cabinet.TicketIn(self.shop.gear["SC-1"], read(self.shell(can)))
            heel = bay.HeelIn(self.shop.cylinders[self.gas], empty)
            moment = self.later(4)
            bay.recover_heel(can, heel, on=moment.date(), at=moment, by=self.by)


def can_tickets_of(job: Job) -> Q:
    """Cans that this job has used already."""
    return Q(pk__in=job.can_tickets.values("ticket__container_id"))


def _in_the_bays(shop: Shop) -> None:
    """Two cars stand in the bays when the practice clock starts: one under vacuum, one being charged."""
    base = {
        "tolerance_g": "20",
        "miss_g": "0",
        "vin": "",
        "path": "",
        "refrigerant": "R-134a",
        "phone": "555-0199",
    }
    wagon = {"day": "2026-07-01", "time": "08:05", "who": "rosa", "label_g": "560", "plate": "SMP-186"}
    about = {
        "description": "2011 wagon, blue",
        "customer": "Idris Fell",
        "odometer": "149220",
        "complaint": "blows warm",
    }
    first = Work(shop, base | wagon | about | {"recovered_g": "145"})
    first.recover(145)
    first.leak_check(LeakResult.NONE_SEEN)
    started = {"pump": "VP-1", "started_at": first.later(5).strftime("%Y-%m-%dT%H:%M")}
    bay.save_draft(first.job, StageKind.EVACUATION, started, at=first.clock, by=first.by)
    sedan = {"day": "2026-07-01", "time": "07:40", "who": "dev", "label_g": "500", "plate": "SMP-187"}
    about = {
        "description": "2016 sedan, silver",
        "customer": "Carmen Ruelas",
        "odometer": "97310",
        "complaint": "weak on hot days",
    }
    second = Work(shop, base | sedan | about | {"recovered_g": "230"})
    second.recover(230)
    second.leak_check(LeakResult.NONE_SEEN)
    second.evacuate()
    can = usable_cans(shop.establishment, "R-134a").first()
    assert can is not None  # noqa: S101
    second.weigh(can, CanTicket.Moment.BEFORE)


__all__ = ["CLOCK_STARTS", "PASSWORD", "ZERO", "seed"]
