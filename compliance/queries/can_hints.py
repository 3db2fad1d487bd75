"""What the charge page says of the can itself: that it is cold and wet, and where its flow will stop."""

from __future__ import annotations

from compliance.core.stages import StageKind
from compliance.models import Draft
from compliance.queries.charge_view import ChargeView
from compliance.queries.sheets import CanOnJob, Sheet
from inventory.core.can import cold_wet
from inventory.core.can_words import LeakTestFlow, stall_hint
from shop.core.findings import Finding
from shop.core.gauge import temperature_shown
from shop.core.mass import ZERO, Mass


def can_hints(sheet: Sheet, view: ChargeView) -> tuple[Finding, ...]:
    """At most one sentence of each, of the can that hangs on the car."""
    bay = _bay_temperature(sheet)
    if view.hanging is None:
        return ()
    hints = (cold_wet(_last_draw(view.hanging)), _stall(view, view.hanging, bay))
    return tuple(one for one in hints if one is not None)


def _last_draw(can: CanOnJob) -> Mass:
    if len(can.tickets) < 2:
        return ZERO
    return can.tickets[-2].ticket.gross - can.tickets[-1].ticket.gross


def _stall(view: ChargeView, can: CanOnJob, bay: float | None) -> Finding | None:
    """Asked for the leak-test charge only: later the compressor pulls."""
    if view.leak_test is None or view.leak_test_stop is None:
        return None
    kind = can.container.can.type
    inside = max(can.before.ticket.gross - kind.shell, ZERO)
    return stall_hint(LeakTestFlow(kind.refrigerant_id, inside, kind.shell, view.leak_test, bay))


def _bay_temperature(sheet: Sheet) -> float | None:
    """K, as typed so far on the leak test's page: it is signed only after its charge was weighed."""
    draft = Draft.objects.filter(job=sheet.job, kind=StageKind.LEAK_TEST.value).first()
    if draft is None:
        return None
    number, unit = (str(draft.typed.get(name) or "") for name in ("temperature", "temperature_unit"))
    return temperature_shown(number) or temperature_shown(f"{number} {unit}")
