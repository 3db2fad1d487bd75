"""Vehicles: found again by VIN or plate, else new."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction

from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.core.vin import normalised
from shop.models import Establishment, Person, Vehicle
from shop.queries import vehicle_by
from shop.services.finding import findable_car, make_findable


@dataclass(frozen=True, slots=True)
class VehicleIn:
    vin: str
    plate: str
    description: str


@transaction.atomic
def known_vehicle(vehicle: VehicleIn, establishment: Establishment, *, by: Person) -> Vehicle:
    """The vehicle with this VIN (or, without one, this plate); made when it was never here. Identity only."""
    vin, plate = normalised(vehicle.vin), vehicle.plate.strip().upper()
    found = []
    if not vin and not plate:
        sentence = phrase("Type the VIN or the plate, so that the car can be found again.")
        found.append(blocked("vehicle-unnamed", sentence, "vin"))
    if not vehicle.description.strip():
        sentence = phrase("Say what it is: year, kind, colour.")
        found.append(blocked("vehicle-undescribed", sentence, "description"))
    refuse_if_blocked(found)
    known = vehicle_by(establishment, vin=vin, plate=plate)
    if known is not None:
        return known
    return Vehicle.objects.create(
        establishment=establishment, vin=vin, plate=plate, description=vehicle.description.strip()
    )


@transaction.atomic
def add_vehicles(vehicles: Sequence[VehicleIn], establishment: Establishment, *, by: Person) -> list[Vehicle]:
    """Many vehicles that were never here, in a few statements. The database refuses a VIN that is on file."""
    rows = [
        Vehicle(
            establishment=establishment,
            vin=normalised(one.vin),
            plate=one.plate.strip().upper(),
            description=one.description.strip(),
        )
        for one in vehicles
    ]
    made = Vehicle.objects.bulk_create(rows)
    make_findable(establishment, *(findable_car(one) for one in made))
    return made
