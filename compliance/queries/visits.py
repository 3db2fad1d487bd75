"""A car that was here before: what its label said then, and what it lost since."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from compliance.models import Closing
from compliance.queries.charge_view import in_the_car
from compliance.queries.facts import recovered, taken_out
from compliance.queries.jobs import vehicle_history
from compliance.queries.sheets import Sheet, job_sheet
from shop.core.mass import ZERO, Mass, total
from shop.core.vin import normalised
from shop.models import Establishment, Vehicle
from shop.queries import vehicle_by


@dataclass(frozen=True, slots=True)
class KnownCar:
    """The vehicle, its last job's sheet, and what a new check-in may begin with; a label is still read anew."""

    vehicle: Vehicle
    last: Sheet
    begin: dict[str, Any]


def known_car(establishment: Establishment, vin: str, plate: str) -> KnownCar | None:
    """The car with this VIN, or this plate, when it was here before."""
    vin, plate = normalised(vin), plate.strip().upper()
    vehicle = vehicle_by(establishment, vin=vin, plate=plate) if vin or plate else None
    visit = vehicle_history(vehicle).first() if vehicle is not None else None
    if vehicle is None or visit is None:
        return None
    last = job_sheet(visit)
    seen, label = last.check_in, last.label
    begin: dict[str, Any] = {
        "vin": vehicle.vin,
        "plate": seen.plate,
        "description": vehicle.description,
        "customer": seen.customer,
        "phone": seen.phone,
        "refrigerant": seen.refrigerant_id,
        "compressor": seen.compressor,
        "unit_kind": seen.unit_kind,
    }
    if label is not None:
        begin |= {"charge": label.charge_text, "tolerance": label.tolerance_text, "unit": label.charge_unit}
    return KnownCar(vehicle, last, begin)


@dataclass(frozen=True, slots=True)
class CameBack:
    """An earlier charge of this car against what came out of it now. ``lost`` is None until it was recovered."""

    number: str
    days: int
    put_in: Mass
    lost: Mass | None


def came_back(sheet: Sheet) -> CameBack | None:
    """The last time this car was charged here, and what it lost since."""
    before = (
        Closing.objects.filter(job__vehicle=sheet.job.vehicle_id, charged=True, job__lt=sheet.job.pk)
        .select_related("job__establishment")
        .order_by("-job")
        .first()
    )
    if before is None:
        return None
    put_in = in_the_car(job_sheet(before.job), {})
    out = taken_out(sheet)
    lost = max(put_in - total(recovered(one) for one in out), ZERO) if out else None
    return CameBack(before.job.number, (sheet.job.on - before.on).days, put_in, lost)
