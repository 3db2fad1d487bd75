"""A technician's hands: stages of a job by calling the real services, for the tests to compose."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from compliance import services
from compliance.core.makers_table import Against, RowTyped, TableTyped
from compliance.core.stages import HoldResult, LabelSource, LeakResult, Outcome, StageKind
from compliance.models import CanTicket, Closing, Document, Job, MakerTable, Photo
from compliance.queries import job_sheet
from inventory.core.weighing import Origin, Style
from inventory.models import Container
from inventory.services import TicketIn
from shop.core.mass import ZERO, grams
from shop.models import Person
from shop.services import VehicleIn
from shop.services.cleaning import clean_photo
from tests.compliance.pictures import picture_of
from tests.factories import NOON, Shop, reading

Moment = CanTicket.Moment


def rename(paper: Document, customer: str, why: str, *, at: datetime, by: Person) -> Document:
    """A correction slip for the customer's name; the certificate's next version."""
    job = paper.certificate.closing.job
    change = services.Change("check-in-1-customer", job_sheet(job).check_in.customer, customer)
    return services.correct_job(job, [change], why=why, on=at.date(), at=at, by=by).document


def car(
    *,
    refrigerant: str = "R-134a",
    label: str | None = "500",
    tolerance: str | None = "20",
    plate: str = "SMP-417",
    vin: str = "",
    customer: str = "Ines Calloway",
    elsewhere: str = "",
    description: str = "2014 sedan, blue",
    phone: str = "",
    source_note: str = "",
) -> services.CheckInIn:
    """A check-in as typed."""
    asked = None
    if label is not None:
        band = reading(tolerance) if tolerance else None
        source = LabelSource.OTHER if source_note else LabelSource.UNDER_HOOD
        asked = services.LabelIn(reading(label), band, source, source_note)
    return services.CheckInIn(
        VehicleIn(vin, plate, description),
        customer,
        "blows warm",
        refrigerant,
        asked,
        phone=phone,
        elsewhere=elsewhere,
    )


@dataclass
class Bay:
    """One job, worked on by one person; the clock moves on with every stage."""

    shop: Shop
    by: Person
    job: Job
    clock: datetime = NOON
    grosses: dict[str, str] = field(default_factory=dict)

    @classmethod
    def check_in(cls, shop: Shop, *, by: Person | None = None, at: datetime = NOON, **said: object) -> Bay:
        person = by or shop.dev
        job = services.check_in(car(**said), shop.establishment, on=at.date(), at=at, by=person)  # type: ignore[arg-type]
        return cls(shop, person, job, at)

    def later(self, minutes: int = 5) -> datetime:
        self.clock += timedelta(minutes=minutes)
        return self.clock

    def recover(
        self, before: str = "7756", after: str = "7966", cylinder: Container | None = None, **more: Any
    ) -> None:
        recovery = services.RecoveryIn(
            machine=self.shop.equipment["RE-1"],
            cylinder=cylinder or self.shop.rc02,
            scale=self.shop.scale,
            before=reading(before),
            after=reading(after),
            started_at=self.later(),
            **more,
        )
        services.record_recovery(self.job, recovery, at=self.later(20), by=self.by)

    def leak_check(self, result: LeakResult = LeakResult.NONE_SEEN, detail: str = "") -> None:
        check = services.LeakCheckIn(
            ("eyes", "electronic detector"), ("compressor", "hoses"), result, "LD-1", detail
        )
        services.record_leak_check(self.job, check, at=self.later(), by=self.by)

    def evacuate(self) -> None:
        evacuation = services.EvacuationIn(
            pump="VP-1",
            started_at=self.later(),
            stopped_at=self.later(35),
            deepest="600 micron",
            result=HoldResult.HELD,
            hold_minutes=15,
            hold_from="600 micron",
            hold_to="720 micron",
        )
        services.record_evacuation(self.job, evacuation, at=self.later(16), by=self.by)

    def leave_out(self, kind: StageKind, reason: str = "not needed here") -> None:
        services.skip_stage(self.job, kind, Outcome.NOT_NEEDED, reason=reason, at=self.later(), by=self.by)

    def weigh(
        self,
        can: Container,
        text: str,
        moment: CanTicket.Moment = Moment.AFTER,
        *,
        seen: tuple[str, ...] = (),
        emptied: bool = False,
        stays_on: bool = False,
        style: Style = Style.BARE,
        origin: Origin = Origin.WEIGHED,
        **more: Any,
    ) -> CanTicket:
        ticket = TicketIn(self.shop.scale, reading(text), style, origin)
        weighing = services.WeighingIn(
            can, ticket, moment, emptied=emptied, stays_on=stays_on, seen=seen, **more
        )
        return services.weigh_can(self.job, weighing, at=self.later(2), by=self.by)

    def draw(self, can: Container, before: str, after: str, **more: Any) -> None:
        self.weigh(can, before, Moment.BEFORE)
        self.weigh(can, after, Moment.AFTER, **more)

    def photograph(
        self,
        what: Photo.What = Photo.What.LABEL,
        stage: StageKind = StageKind.CHECK_IN,
        *,
        caption: str = "",
        sent: bytes = b"",
    ) -> Photo:
        picture = clean_photo(sent or picture_of("R-134a 500 g +/- 20 g, SAMPLE"))
        photo = services.PhotoIn(picture, what, stage, caption)
        return services.keep_photo(self.job, photo, at=self.later(1), by=self.by)

    def keep_charge(self, *, hoses: str = "6", purge: str = "0", released: str = "0", why: str = "") -> None:
        kept = services.ChargeIn(
            grams(hoses), grams(2) if hoses != "0" else ZERO, grams(purge), grams(released), why
        )
        services.finish_charge(self.job, kept, at=self.later(), by=self.by)

    def finals(self, **read: Any) -> None:
        readings = services.FinalReadingsIn(True, **(read or {"vent": "44 °F"}))
        services.record_final_readings(self.job, readings, at=self.later(), by=self.by)

    def type_makers_table(self, against: Against = Against.INLET) -> MakerTable:
        """An invented table: the vent of one row at 70 °F and one at 90 °F, at any humidity up to 70 %."""
        rows = (RowTyped("70", "30-70", "38-44", "130-170"), RowTyped("90", "30-70", "48-56", "190-250"))
        typed = TableTyped(against, "service information, page 12", "1,500 rpm", "°F", "psi", rows)
        return services.record_makers_table(self.job.vehicle, typed, at=self.later(), by=self.by)

    def close(self, **said: Any) -> Closing:
        moment = self.later()
        return services.close_job(
            self.job, services.CloseIn(**said), today=moment.date(), at=moment, by=self.by
        )

    def up_to_charge(self) -> None:
        """Recovery, leak check, evacuation: the straight way to an empty, tight system."""
        self.recover()
        self.leak_check()
        self.evacuate()

    def up_to_charge_again(self) -> None:
        """The same on a later car: the cylinder starts where the last recovery left it."""
        self.recover("7966", "8000")
        self.leak_check()
        self.evacuate()

    def straight(self, first: Container, second: Container) -> Closing:
        """The sample job: 338 g and 171 g out, 6 g in the hoses, 503 g in a 500 g car."""
        self.up_to_charge()
        self.draw(first, "466", "128", emptied=True)
        self.draw(second, "464", "293")
        self.keep_charge()
        self.finals()
        return self.close()
