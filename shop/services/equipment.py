"""Machines, scales, pumps, detectors and gauges, and their dated checks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Reading
from shop.models import Check, Equipment, Establishment, Person, Retirement


@dataclass(frozen=True, slots=True)
class EquipmentIn:
    code: str
    kind: str
    in_service_on: date
    maker: str = ""
    model: str = ""
    serial: str = ""
    made: str = ""
    does: str = Equipment.Does.OTHER
    refrigerants: str = ""
    standard: str = ""
    division: Reading | None = None


@dataclass(frozen=True, slots=True)
class CheckIn:
    """A scale's check gives the known weight and what the scale showed; the others only whether they passed."""

    on: date
    against: str
    passed: bool = True
    known: Reading | None = None
    shown: Reading | None = None
    note: str = ""


@transaction.atomic
def add_equipment(
    piece: EquipmentIn, establishment: Establishment, *, today: date, at: datetime, by: Person
) -> Equipment:
    """Transcribe a nameplate. A scale needs its division; a recovery machine what it does and for which gas."""
    refuse_if_blocked(_equipment_problems(piece, establishment, today))
    return Equipment.objects.create(
        establishment=establishment,
        code=piece.code,
        kind=piece.kind,
        maker=piece.maker,
        model=piece.model,
        serial=piece.serial,
        made=piece.made,
        in_service_on=piece.in_service_on,
        does=piece.does,
        refrigerants=piece.refrigerants,
        standard=piece.standard,
        unit=piece.division.unit if piece.division else "",
        division_text=piece.division.text if piece.division else "",
        division=piece.division.mass if piece.division else ZERO,
        at=at,
        by=by,
    )


def _equipment_problems(piece: EquipmentIn, establishment: Establishment, today: date) -> list[Finding]:
    found = []
    if Equipment.objects.filter(establishment=establishment, code__iexact=piece.code).exists():
        found.append(
            blocked("code-taken", f"{piece.code} is in use. Give this one its own short name.", "code")
        )
    if piece.in_service_on > today:
        found.append(blocked("in-service-future", "That day has not come yet.", "in_service_on"))
    if piece.kind == Equipment.Kind.SCALE and (piece.division is None or piece.division.mass <= ZERO):
        sentence = (
            "Type the scale's division as its plate says, for example 1 with unit g, or 0.1 with unit oz."
        )
        found.append(blocked("scale-division", sentence, "division"))
    if piece.kind == Equipment.Kind.MACHINE:
        if piece.does == Equipment.Does.OTHER:
            sentence = "Say what the machine does: recover only, recycle, or recharge."
            found.append(blocked("machine-does", sentence, "does"))
        if not piece.refrigerants:
            sentence = "Name the refrigerants on its plate, with commas between: R-134a, R-1234yf."
            found.append(blocked("machine-refrigerants", sentence, "refrigerants", "40 CFR 82.32(e)(1)"))
    return found


@transaction.atomic
def log_check(piece: Equipment, check: CheckIn, *, today: date, at: datetime, by: Person) -> Check:
    """Log a check. A scale passes when it shows the known weight to one division either way (NIST Handbook 44
    class III maintenance tolerance up to 500 divisions, from memory)."""
    found = []
    if check.on > today:
        found.append(blocked("check-future", "That day has not come yet.", "on"))
    if check.on < piece.in_service_on:
        found.append(blocked("check-too-early", "That is before this equipment came into service.", "on"))
    is_scale = piece.kind == Equipment.Kind.SCALE
    if is_scale and (check.known is None or check.shown is None):
        found.append(blocked("check-weights", "Type the known weight and what the scale showed.", "shown"))
    if is_scale and check.known is not None and check.known.mass <= ZERO:
        found.append(blocked("check-known", "The known weight must be more than zero.", "known"))
    refuse_if_blocked(found)
    known, shown = (check.known.mass, check.shown.mass) if check.known and check.shown else (ZERO, ZERO)
    return Check.objects.create(
        equipment=piece,
        on=check.on,
        passed=abs(shown - known) <= piece.division if is_scale else check.passed,
        against=check.against,
        known=known,
        shown=shown,
        note=check.note,
        at=at,
        by=by,
    )


@transaction.atomic
def retire_equipment(piece: Equipment, *, last_day: date, why: str, at: datetime, by: Person) -> Retirement:
    """Take a piece out of service; its rows and the papers that name it stay."""
    found = []
    if Retirement.objects.filter(equipment=piece).exists():
        found.append(blocked("retired-already", f"{piece.code} is already out of service.", "last_day"))
    if last_day < piece.in_service_on:
        found.append(blocked("retired-too-early", "That is before it came into service.", "last_day"))
    if not why.strip():
        found.append(blocked("why-empty", "Say why in a few words.", "why"))
    refuse_if_blocked(found)
    return Retirement.objects.create(equipment=piece, last_day=last_day, why=why.strip(), at=at, by=by)
