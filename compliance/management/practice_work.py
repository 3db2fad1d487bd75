"""The practice shop at work: one invented job, stage by stage, by calling the real services."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db.models import Q

from compliance import services as bay
from compliance.core.stages import HoldResult, LabelSource, LeakResult, Outcome, PressureResult, StageKind
from compliance.models import CanTicket, Job
from inventory import services as cabinet
from inventory.core.weighing import Style
from inventory.models import Container, ContainerType, Fate, Supplier
from inventory.queries import containers, last_ticket, usable_cans
from shop import services as house
from shop.core.mass import Mass, Reading, Unit, grams
from shop.models import Equipment, Establishment, Person

ZONE = ZoneInfo("America/Denver")
PASSWORD = "practice-2026"  # noqa: S105 - of invented people, printed when the demo starts
PIN = "2468"  # the same for all of them
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
            shell = round(kind.shell.grams) + (number * 5) % 7 - 3
            self.gross[code] = shell + round(kind.net.grams) + (number * 3) % 5 - 2
        return self.gross[code]

    def kind_of(self, code: str) -> ContainerType:
        return Container.objects.select_related("can__type").get(pk=code).can.type


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
            gauge="0 psi" if mass == 0 else "",
        )
        bay.record_recovery(self.job, recovery, at=self.later(19), by=self.by)

    def leak_check(self, result: LeakResult, detail: str = "") -> None:
        places = ("compressor", "hoses", "condenser", "service ports", "evaporator drain")
        dye = ("dye",) if "dye" in detail else ()
        check = bay.LeakCheckIn(("eyes", "electronic detector", *dye), places, result, "LD-1", detail)
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
            hold=bay.HoldIn(self.clock, self.later(16)),
            hold_from="600 micron",
            hold_middle="690 micron",
            hold_to="720 micron",
            temperature="78 °F",
        )
        bay.record_evacuation(self.job, evacuation, at=self.later(1), by=self.by)

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
            light="short",
            seen=("sealed-light", "can-lost-on-shelf", "digits-swapped", "overcharge"),
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

    def hang_next(self) -> None:
        """Put the next can on the car and leave it there."""
        can = usable_cans(self.shop.establishment, self.gas).exclude(can_tickets_of(self.job)).first()
        if can is not None:
            self.weigh(can, CanTicket.Moment.BEFORE)

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
        return round(kind.shell.grams) + (number * 5) % 7 - 3

    def hold(self, test: int) -> None:
        """In April the bay is cold and the hold blind; in June it is warm and the gauge can see."""
        cold, warm = ("51 psi", "51 psi", "55 °F", "55 °F"), ("52 psi", "52 psi", "84 °F", "83 °F")
        readings = cold if self.clock.month == 4 else warm
        held = bay.LeakTestIn(15, PressureResult.STEADY, *readings)
        bay.record_leak_test(self.job, held, at=self.later(17), by=self.by)

    def keep_charge(self, *, purge: str = "0", released: int = 0, why: str = "") -> None:
        kept = bay.ChargeIn(grams(6), grams(2), grams(purge), grams(released), why)
        bay.finish_charge(self.job, kept, at=self.later(1), by=self.by)

    def finals(self) -> None:
        readings = bay.FinalReadingsIn(
            True, "31 psi", "195 psi", "44 °F", "84 °F", "38 % RH", "1500 rpm", "high", "recirculate"
        )
        readings = replace(readings, inlet="78 °F", minutes=8)
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
