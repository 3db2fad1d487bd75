"""A car that was here before: what its label said then, and what it lost since."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from compliance.core.certificate_facts import SinceLastFacts
from compliance.core.leak_rate import (
    COVERAGE,
    Filled,
    Found,
    LeakRate,
    SinceLast,
    Unknown,
    leak_rate,
    recovering,
)
from compliance.core.leak_words import leak_rate_answer
from compliance.core.stages import Identified, Outcome, StageKind
from compliance.models import Closing, Job, Recovery, Stage
from compliance.queries.charge_view import state_of
from compliance.queries.facts import (
    emptied_first,
    first_draw,
    kept_apart,
    local,
    reconciliation,
    recovered,
    taken_out,
)
from compliance.queries.jobs import vehicle_history
from compliance.queries.sheets import Sheet, job_sheet
from inventory.core.weighing import u_difference
from shop.core.answer import Answer
from shop.core.decision import combined, u_rectangular
from shop.core.gauge import rounded
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
        "rear_air": seen.rear_air,
    }
    if label is not None:
        begin |= {"charge": label.charge_text, "tolerance": label.tolerance_text, "unit": label.charge_unit}
    return KnownCar(vehicle, last, begin)


@dataclass(frozen=True, slots=True)
class CameBack:
    """An earlier charge of this car against what came out of it now. ``rate`` is None until that was weighed."""

    number: str
    days: int
    put_in: Mass
    rate: LeakRate | Unknown | None

    @property
    def answer(self) -> Answer | None:
        return leak_rate_answer(self.rate) if self.rate is not None else None

    @property
    def is_flagged(self) -> bool:
        return isinstance(self.rate, LeakRate) and self.rate.is_flagged


def came_back(sheet: Sheet) -> CameBack | None:
    """The last time this car was charged here, and how fast it lost of it since."""
    before = (
        Closing.objects.filter(job__vehicle=sheet.job.vehicle_id, charged=True, job__lt=sheet.job.pk)
        .select_related("job__establishment")
        .order_by("-job")
        .first()
    )
    if before is None:
        return None
    then = job_sheet(before.job)
    days = (_weighed_on(sheet) - before.on).days
    filled = _filled(then)
    rate = leak_rate(_since(sheet, filled, before.job, days)) if _is_looked_at(sheet) else None
    return CameBack(before.job.number, days, max(filled.mass, ZERO), rate)


def since_last_facts(sheet: Sheet) -> SinceLastFacts | None:
    """What the certificate keeps of it; nothing where it is not known."""
    back = came_back(sheet)
    if back is None or not isinstance(back.rate, LeakRate):
        return None
    one = back.rate
    a_year = one.per_year is not None
    return SinceLastFacts(
        job=back.number,
        days=back.days,
        lost=rounded(one.loss, 0),
        lost_give=rounded(COVERAGE * one.u_loss, 0),
        per_year=rounded(one.per_year, 0) if one.per_year is not None else "",
        per_year_give=rounded(COVERAGE * one.u_per_year, 0) if a_year else "",
        is_shown=one.is_shown,
    )


def _is_looked_at(sheet: Sheet) -> bool:
    """Whether this visit can say something: recovery was written down, or left out, or a can was drawn from."""
    return sheet.last(StageKind.RECOVERY) is not None or bool(first_draw(sheet))


def _weighed_on(sheet: Sheet) -> date:
    """The day of the recovery, on the shop's clock; the job's day until there is one."""
    out = taken_out(sheet)
    return local(sheet.job.establishment, out[0].stage.at).date() if out else sheet.job.on


def _filled(then: Sheet) -> Filled:
    sums = reconciliation(then)
    return Filled(
        job=then.job.number,
        mass=sums.vehicle if sums is not None else ZERO,
        u_g=sums.u_g if sums is not None else 0.0,
        refrigerant=then.refrigerant,
        label=then.label.charge if then.label is not None else None,
        total_known=emptied_first(then),
    )


def _since(sheet: Sheet, filled: Filled, before: Job, days: int) -> SinceLast:
    out = taken_out(sheet)
    return SinceLast(
        filled=filled,
        found=_found(sheet, out, before),
        days=days,
        recovering=recovering(
            sheet.rules,
            [one.machine.standard for one in out],
            next((one.bay for one in out if one.bay), ""),
        ),
        warranty_days=int(sheet.rules.warranty_days),
        evaporators=2 if sheet.check_in.rear_air else 1,
        compressor=sheet.check_in.compressor,
    )


def _found(sheet: Sheet, out: list[Recovery], before: Job) -> Found:
    """What this visit weighed. The scale's gain counts on the whole of it, each pair of readings by its steps."""
    mass = total(recovered(one) for one in out)
    gain = u_rectangular(float(sheet.rules.scale_gain_percent) / 100 * mass.grams)
    drawn = first_draw(sheet) is not None
    return Found(
        mass=mass if out else None,
        u_g=combined(gain, *(u_difference(one.after.division) for one in out)),
        refrigerant=sheet.refrigerant,
        label=sheet.label.charge if sheet.label is not None else None,
        topped_up=state_of(sheet).in_car if drawn and not emptied_first(sheet) else None,
        mixed=any(one.identified == Identified.MIXED or kept_apart(one) for one in out),
        elsewhere=sheet.check_in.elsewhere,
        opened_in=_opened_in(sheet, before),
    )


def _opened_in(sheet: Sheet, before: Job) -> str:
    """A job between the two that opened the system and did not charge it."""
    opened = Stage.objects.filter(
        job__vehicle=sheet.job.vehicle_id,
        job__gt=before.pk,
        job__lt=sheet.job.pk,
        kind__in=(StageKind.RECOVERY, StageKind.REPAIR, StageKind.EVACUATION),
        outcome=Outcome.DONE,
    )
    newest = opened.select_related("job").order_by("-job").first()
    return newest.job.number if newest is not None else ""
