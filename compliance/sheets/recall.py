"""A lot's vehicles and cans as a sheet, for whoever has to call them."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.models import CheckIn
from compliance.queries.recall import LotCan, recall
from shop.core.mass import ZERO
from shop.core.sheet import Sheet, Value, columns
from shop.models import Establishment


def recall_sheet(establishment: Establishment, lot: str) -> Sheet:
    """One row for each vehicle and can; a can that no vehicle got has a row of its own."""
    return Sheet(
        "recall",
        f"Which vehicles got refrigerant of lot {lot}, and where its cans are.",
        columns(
            ("lot", "as asked for"),
            ("can", "its number"),
            ("refrigerant", "of the can"),
            ("came_on", "day the can came"),
            ("where", "the can is now"),
            ("left_g", "in it by the book, g, exact"),
            ("job", "on which a vehicle got of it"),
            ("on", "day"),
            ("into_vehicle_g", "that stayed, g, exact; empty while the job is open"),
            ("recovered_back_g", "that was taken out again into a cylinder, g, exact"),
            ("swap_slip", "that makes it uncertain which of two cans it was"),
            ("vin", "as typed"),
            ("plate", "at that visit"),
            ("vehicle", "what it is"),
            ("customer", "whose car it was"),
            ("phone", "as typed"),
            ("certificate", "of that job"),
        ),
        _rows(establishment, lot),
    )


def _rows(establishment: Establishment, lot: str) -> Iterator[tuple[Value, ...]]:
    found = recall(establishment, lot)
    cans = {can.container.code: can for can in found.cans}
    jobs = [dose.visit.number for dose in found.doses]
    seen = CheckIn.objects.filter(stage__job__establishment=establishment, stage__job__number__in=jobs)
    phones = dict(seen.order_by("stage__version").values_list("stage__job__number", "phone"))
    for dose in found.doses:
        visit, can = dose.visit, cans.get(dose.can)
        yield (
            lot,
            *(_can(can) if can else (dose.can, visit.refrigerant, None, "of another lot", None)),
            visit.number,
            visit.on,
            dose.mass,
            dose.back if dose.back > ZERO else None,
            dose.slip,
            visit.vehicle.vin,
            visit.plate,
            visit.vehicle.description,
            visit.customer,
            phones.get(visit.number),
            str(visit.paper) if visit.paper else None,
        )
    given = {dose.can for dose in found.doses}
    for code, can in cans.items():
        if code not in given:
            yield (lot, *_can(can), *(None,) * 11)


def _can(can: LotCan) -> tuple[Value, ...]:
    where = f"on the open job {can.job}" if can.job else can.where
    held = can.container
    return held.code, held.refrigerant_id, held.came_on, where, held.book
