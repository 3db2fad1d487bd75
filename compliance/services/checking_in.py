"""Check-in: which car, what it complains of, and what the label under its hood asks for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from compliance.core.label import charge_problems, tolerance_problems
from compliance.core.stages import Compressor, LabelSource, StageKind, UnitKind
from compliance.models import CheckIn, Job, Label, Retrofit
from compliance.services.finding import findable_job
from compliance.services.stages import write_stage
from inventory.models import Refrigerant
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Reading
from shop.core.phrase import phrase
from shop.models import Establishment, Person
from shop.services import VehicleIn, known_vehicle, next_number
from shop.services.finding import findable_car, make_findable


@dataclass(frozen=True, slots=True)
class LabelIn:
    """What the label asks for, as typed; ``tolerance`` is None when it prints none. ``source_note`` names another
    source than the label under the hood or the service information."""

    charge: Reading
    tolerance: Reading | None
    source: str
    source_note: str = ""


@dataclass(frozen=True, slots=True)
class RetrofitIn:
    """Whether the three things that a change of refrigerant asks for were found on the car."""

    labelled: bool
    fittings: bool
    removed: bool


@dataclass(frozen=True, slots=True)
class CheckInIn:
    """``label`` is None when the target is unknown: such a job may be recovered, not charged. ``retrofit`` is None
    when the car has the refrigerant that it was built for. ``elsewhere`` is what another place did to the system since
    the last visit; ``rear_air`` a second evaporator."""

    vehicle: VehicleIn
    customer: str
    complaint: str
    refrigerant: str
    label: LabelIn | None
    phone: str = ""
    odometer: str = ""
    repair_order: str = ""
    compressor: Compressor = Compressor.BELT
    unit_kind: UnitKind = UnitKind.CAR
    retrofit: RetrofitIn | None = None
    rear_air: bool = False
    elsewhere: str = ""


@transaction.atomic
def check_in(car: CheckInIn, establishment: Establishment, *, on: date, at: datetime, by: Person) -> Job:
    """Open a job. Raises ``Refused`` when the car cannot be told, or the label's numbers cannot be."""
    refuse_if_blocked(_check_in_problems(car))
    Establishment.objects.select_for_update(no_key=True).get(pk=establishment.pk)  # a car is in the bay once
    vehicle = known_vehicle(car.vehicle, establishment, by=by)
    waiting = Job.objects.filter(vehicle=vehicle, closing=None).first()
    if waiting is not None:
        sentence = phrase(
            "This car is already in the bay as {waiting}. Carry on there, or close it first.",
            waiting=waiting.number,
        )
        refuse_if_blocked([blocked("job-open", sentence, "vin")])
    number = f"J{on:%y}-{next_number(f'J{on:%y}', establishment, by=by):04d}"
    job = Job.objects.create(establishment=establishment, number=number, vehicle=vehicle, on=on, at=at, by=by)
    _write_check_in(job, car, at=at, by=by)
    return job


@transaction.atomic
def revise_check_in(job: Job, car: CheckInIn, *, at: datetime, by: Person) -> Job:
    """Write the check-in down again; what it said before is kept. The vehicle itself stays the job's."""
    refuse_if_blocked(_check_in_problems(car))
    used = job.can_tickets.select_related("ticket__container").first()
    if used is not None and used.ticket.container.refrigerant_id != car.refrigerant:
        sentence = phrase(
            "{container} with {refrigerant} was already weighed for this car, so the refrigerant cannot be"
            " changed here.",
            container=used.ticket.container.code,
            refrigerant=used.ticket.container.refrigerant_id,
        )
        refuse_if_blocked([blocked("refrigerant-used", sentence, "refrigerant")])
    _write_check_in(job, car, at=at, by=by)
    return job


def _write_check_in(job: Job, car: CheckInIn, *, at: datetime, by: Person) -> None:
    stage = write_stage(job, StageKind.CHECK_IN, at=at, by=by)
    seen = CheckIn.objects.create(
        stage=stage,
        customer=car.customer.strip(),
        phone=car.phone.strip(),
        plate=car.vehicle.plate.strip().upper(),
        odometer=car.odometer.strip(),
        complaint=car.complaint.strip(),
        repair_order=car.repair_order.strip(),
        refrigerant_id=car.refrigerant,
        compressor=car.compressor,
        unit_kind=car.unit_kind,
        rear_air=car.rear_air,
        elsewhere=car.elsewhere.strip(),
    )
    make_findable(job.establishment, findable_car(job.vehicle, seen.plate), findable_job(job, seen))
    if car.retrofit is not None:
        found = car.retrofit
        Retrofit.objects.create(
            stage=stage, labelled=found.labelled, fittings=found.fittings, removed=found.removed
        )
    if car.label is not None:
        tolerance = car.label.tolerance
        Label.objects.create(
            stage=stage,
            charge_text=car.label.charge.text,
            charge_unit=car.label.charge.unit,
            charge=car.label.charge.mass,
            tolerance_text=tolerance.text if tolerance else "",
            tolerance_unit=tolerance.unit if tolerance else "",
            tolerance=tolerance.mass if tolerance else ZERO,
            source=car.label.source,
            source_note=car.label.source_note.strip(),
        )


def _check_in_problems(car: CheckInIn) -> list[Finding]:
    found = []
    if not car.customer.strip():
        found.append(blocked("customer-empty", phrase("Type whose car it is."), "customer"))
    if not car.complaint.strip():
        found.append(
            blocked(
                "complaint-empty",
                phrase("Say what the car is here for, for example: blows warm."),
                "complaint",
            )
        )
    if not Refrigerant.objects.chargeable().filter(code=car.refrigerant).exists():
        found.append(
            blocked("refrigerant-unknown", phrase("Choose the refrigerant on the label."), "refrigerant")
        )
    if car.label is not None:
        found += _label_problems(car.label)
    return found


def _label_problems(label: LabelIn) -> list[Finding]:
    found = []
    if label.source == LabelSource.OTHER and len(label.source_note.strip()) < 3:
        found.append(
            blocked("source-unnamed", phrase("Say where the charge weight was read."), "source_note")
        )
    found += charge_problems(label.charge.mass, str(label.charge), "charge")
    if label.tolerance is not None:
        found += tolerance_problems(label.tolerance.mass, "tolerance")
    return found
