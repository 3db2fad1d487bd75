"""What the charge page shows: in the car, to go, and the reading at which to stop."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import QuerySet

from compliance.core.charge import cans_needed, leak_test_mass, remaining, stop_at
from compliance.core.reconcile import Reconciliation
from compliance.models import CanTicket, OnTheCar
from compliance.queries.facts import reconciliation, recovered, recovered_back
from compliance.queries.sheets import CanOnJob, Sheet
from inventory.core.weighing import Style
from inventory.models import Container
from inventory.queries import usable_cans
from shop.core.mass import ZERO, Mass, Reading, grams, total


@dataclass(frozen=True, slots=True)
class ChargeView:
    """``stop`` is the reading at which the can on the car has given what is wanted of it; ``enough`` says whether
    that finishes the charge. ``leak_test_stop`` is the same for the leak-test charge."""

    out: Mass
    in_car: Mass
    to_go: Mass | None
    percent: int
    hanging: CanOnJob | None
    stop: Reading | None
    enough: bool
    leak_test: Mass | None
    leak_test_stop: Reading | None
    needed: int | None
    sums: Reconciliation | None
    next_reading: dict[str, object]


def charge_view(sheet: Sheet) -> ChargeView:
    """Everything the charge page shows, from the tickets so far and the shop's allowances."""
    out = total(max(can.before.ticket.gross - can.tickets[-1].ticket.gross, ZERO) for can in sheet.cans)
    back = total(recovered(one) for one in recovered_back(sheet))
    hoses = sheet.charge.hoses if sheet.charge is not None else grams(sheet.rules.hose_allowance_g)
    in_car = max(out - back - hoses, ZERO) if out > ZERO else ZERO
    label = sheet.label.charge if sheet.label is not None else None
    to_go = max(remaining(label, in_car), ZERO) if label is not None else None
    hanging = next((can for can in sheet.cans if can.hanging), None)
    wanted = max(label + hoses - (out - back), ZERO) if label is not None else None
    stop, enough = _stop(hanging, wanted, sheet)
    test = leak_test_mass(label, sheet.rules.leak_test_percent / 100) if label is not None else None
    return ChargeView(
        out=out,
        in_car=in_car,
        to_go=to_go,
        percent=min(100, round(100 * in_car.ug / label.ug)) if label is not None else 0,
        hanging=hanging,
        stop=stop,
        enough=enough,
        leak_test=test,
        leak_test_stop=_leak_test_stop(hanging, test, hoses, out),
        needed=_needed(sheet, wanted),
        sums=reconciliation(sheet),
        next_reading=_next_reading(sheet, hanging),
    )


def _stop(hanging: CanOnJob | None, wanted: Mass | None, sheet: Sheet) -> tuple[Reading | None, bool]:
    if hanging is None or wanted is None or wanted <= ZERO:
        return None, False
    now = hanging.tickets[-1].ticket
    shell = hanging.container.can.type.shell
    can_give = max(now.gross - shell, ZERO)
    enough = can_give >= wanted
    return stop_at(now.reading, wanted if enough else can_give, now.division), enough


def _leak_test_stop(hanging: CanOnJob | None, test: Mass | None, hoses: Mass, out: Mass) -> Reading | None:
    if hanging is None or test is None or len(hanging.tickets) != 1 or out > ZERO:
        return None
    now = hanging.tickets[-1].ticket
    return stop_at(now.reading, test + hoses, now.division)


def _needed(sheet: Sheet, wanted: Mass | None) -> int | None:
    can = free_cans(sheet).first()
    if can is None or wanted is None or wanted <= ZERO:
        return None
    heel = grams(sheet.rules.heel_limit_g) if can.can.type.self_sealing else ZERO
    return cans_needed(wanted, net=can.can.type.net, heel=min(heel, grams(4)), losses=ZERO)


def _next_reading(sheet: Sheet, hanging: CanOnJob | None) -> dict[str, object]:
    """What the form starts with: the can on the car, or the next one to take."""
    scale, style = None, Style.BARE.value
    if sheet.cans:
        newest = max((row for can in sheet.cans for row in can.tickets), key=lambda row: row.ticket.number)
        scale, style = newest.ticket.scale_id, newest.ticket.style
    if hanging is not None:
        return {"container": hanging.container.code, "what": "off", "scale": scale, "style": style}
    can = free_cans(sheet).exclude(pk__in=_used_up(sheet)).first()
    return {"container": can.code if can else "", "what": "before", "scale": scale, "style": style}


def free_cans(sheet: Sheet) -> QuerySet[Container]:
    """Cans that may go on this car: open ones first, then the oldest; none that is empty or hangs on a car."""
    hanging = OnTheCar.objects.values("container")
    emptied = CanTicket.objects.filter(emptied=True, retyped=None).values("ticket__container")
    usable = usable_cans(sheet.job.establishment, sheet.refrigerant)
    return usable.exclude(pk__in=hanging).exclude(pk__in=emptied)


def _used_up(sheet: Sheet) -> list[str]:
    return [can.container.code for can in sheet.cans if can.emptied]
