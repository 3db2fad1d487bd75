"""Checking a recovery cylinder for air: a signed reading of its pressure at rest."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.air_check import AirReadings, air_check
from inventory.core.properties import EQUATIONS
from inventory.models import AirCheck, Container
from inventory.queries import cylinder_room, gas_in
from shop.core.conditions import conditions, with_barometer
from shop.core.findings import Finding, Refused, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person
from shop.queries import rules_on


@dataclass(frozen=True, slots=True)
class AirCheckIn:
    """Readings as typed, with their units. ``at_rest`` says that it stood out of the sun, at rest, valves shut."""

    pressure: str
    temperature: str
    barometer: str = ""
    at_rest: bool = False


@transaction.atomic
def check_for_air(cylinder: Container, check: AirCheckIn, *, on: date, at: datetime, by: Person) -> AirCheck:
    """Keep what the gauge showed on a cylinder from ``containers``, and the comparison under the rules of the day.

    Refused for a can, for mixed or unknown contents, for a cylinder too cold, too hot or too empty to judge, and for
    readings that cannot be.
    """
    rules = rules_on(cylinder.establishment, on)
    here, found = with_barometer(conditions(rules), check.barometer)
    refuse_if_blocked([*found, *_problems(cylinder, check)])
    room = cylinder_room(cylinder, rules)
    readings = AirReadings(
        gas_in(cylinder), check.pressure, check.temperature, cylinder.cylinder.water, room.held
    )
    compared = air_check(readings, here)
    if isinstance(compared, Finding):
        raise Refused([compared])
    return AirCheck.objects.create(
        container=cylinder,
        pressure=check.pressure.strip(),
        temperature=check.temperature.strip(),
        barometer=check.barometer.strip(),
        pressure_pa=round(compared.pressure),
        expected_pa=round(compared.expected),
        u_pa=round(compared.u),
        air_pa=round(compared.air),
        equations=EQUATIONS,
        at=at,
        by=by,
    )


def _problems(cylinder: Container, check: AirCheckIn) -> list[Finding]:
    found = []
    if cylinder.kind != "cylinder" or hasattr(cylinder, "fate"):
        found.append(blocked("air-no-cylinder", phrase("Only a cylinder in use is checked for air.")))
    if not check.at_rest:
        sentence = phrase("Let it stand out of the sun, at rest, valves shut; then tick this.")
        found.append(blocked("air-not-at-rest", sentence, "at_rest"))
    return found
