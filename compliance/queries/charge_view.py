"""What the charge page shows: in the car, to go, the reading at which to stop, and which cans to take next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db.models import QuerySet

from compliance.core.charge import cans_needed, leak_test_mass, plan, stop_at
from compliance.core.charge_state import CanState, ChargeState, stop_of
from compliance.core.reconcile import Reconciliation
from compliance.models import CanTicket, OnTheCar
from compliance.queries.facts import losses, reconciliation
from compliance.queries.sheets import CanOnJob, Sheet, drawn_by_others
from inventory.core.weighing import Style
from inventory.models import Container, WeighTicket
from inventory.queries import usable_cans
from shop.core.mass import ZERO, Mass, Reading, Unit, grams

OFFERED = 12  # cans that the page lists
NOTHING: Mapping[str, Mass] = {}


@dataclass(frozen=True, slots=True)
class NextCan:
    """One can of the plan: what it should weigh now, what to take from it, and where to stop."""

    can: Container
    weighs: Mass
    take: Mass
    empties: bool


@dataclass(frozen=True, slots=True)
class ChargeView:
    """``stop`` is the reading at which the can on the car has given what is wanted of it; ``enough`` says whether
    that finishes the charge. ``leak_test_stop`` is the same for the leak-test charge. ``over`` is what is in the car
    beyond the label's tolerance; ``low`` and ``high`` are the label's band; ``free`` are cans that may go on."""

    out: Mass
    in_car: Mass
    to_go: Mass | None
    over: Mass | None
    low: Mass | None
    high: Mass | None
    hanging: CanOnJob | None
    stop: Reading | None
    enough: bool
    leak_test: Mass | None
    leak_test_stop: Reading | None
    needed: int | None
    next_cans: tuple[NextCan, ...]
    sums: Reconciliation | None
    next_reading: dict[str, object]
    free: tuple[Container, ...]

    @property
    def scale_to(self) -> Mass:
        """The right end of the drawn scale: a little beyond the band, or beyond what is in."""
        beyond = Mass(self.high.ug * 106 // 100) if self.high is not None else ZERO
        return max((beyond, self.in_car, grams(1)), key=lambda mass: mass.ug)

    @property
    def in_car_at(self) -> str:
        return self._at(self.in_car)

    @property
    def low_at(self) -> str:
        return self._at(self.low if self.low is not None else ZERO)

    @property
    def band_width(self) -> str:
        """A hundredth of the scale at least, so that a label without tolerance is a line."""
        if self.low is None or self.high is None:
            return self._at(ZERO)
        return self._at(max(self.high - self.low, Mass(self.scale_to.ug // 100)))

    def _at(self, mass: Mass) -> str:
        """A place on the drawn scale, 0 to 100; a text, so that no language puts a comma into it."""
        return f"{100 * mass.ug / self.scale_to.ug:.1f}"


def charge_view(sheet: Sheet) -> ChargeView:
    """Everything the charge page shows, from the tickets so far and the shop's allowances."""
    label, state = sheet.label, state_of(sheet)
    hanging = next((can for can in sheet.cans if can.hanging), None)
    wanted = state.wanted
    stop, enough = _stop(hanging, wanted)
    test = leak_test_mass(label.charge, sheet.rules.leak_test_percent / 100) if label is not None else None
    free = list(free_cans(sheet).exclude(pk__in=_used_up(sheet))[:OFFERED])
    left = _left_for_others(hanging, wanted)
    return ChargeView(
        out=state.drawn,
        in_car=state.in_car,
        to_go=state.to_go,
        over=state.over,
        low=label.charge - label.tolerance if label is not None else None,
        high=label.charge + label.tolerance if label is not None else None,
        hanging=hanging,
        stop=stop,
        enough=enough,
        leak_test=test,
        leak_test_stop=_leak_test_stop(hanging, test, sheet),
        needed=_needed(sheet, free, left),
        next_cans=_next_cans(sheet, free, left),
        sums=reconciliation(sheet),
        next_reading=_next_reading(sheet, hanging, free),
        free=tuple(free),
    )


def state_of(sheet: Sheet, pretend: Mapping[str, Mass] = NOTHING) -> ChargeState:
    """The charge by the tickets so far, or as if cans weighed what ``pretend`` says (code: gross)."""
    label, said = sheet.label, losses(sheet)
    cans = [
        CanState(
            can.before.ticket.gross,
            pretend.get(can.container.pk, can.tickets[-1].ticket.gross),
            can.lost_between,
        )
        for can in sheet.cans
    ]
    assumed = sheet.charge is None
    kept = sheet.charge.released if sheet.charge is not None else ZERO
    return ChargeState(
        label=label.charge if label is not None else None,
        tolerance=label.tolerance if label is not None else ZERO,
        hoses=_hoses(sheet) if assumed else said.hoses,
        assumed=assumed,
        gone=said.purge + kept + said.recovered_back,
        cans=tuple(cans),
    )


@dataclass(frozen=True, slots=True)
class IfKept:
    """The sum if a reading is kept: out of this can, in the car, to go, and where that stands against the label."""

    out: Mass
    in_car: Mass
    to_go: Mass | None
    inside: bool


def if_kept(sheet: Sheet, can: Container, gross: Mass) -> IfKept | None:
    """What the page answers while a reading is typed; None for a can that is not on this job yet."""
    mine = next((one for one in sheet.cans if one.container.pk == can.pk), None)
    if mine is None:
        return None
    state = state_of(sheet, {can.pk: gross})
    return IfKept(max(mine.before.ticket.gross - gross, ZERO), state.in_car, state.to_go, state.inside)


def stop_reading(sheet: Sheet, can: CanOnJob) -> Reading | None:
    """At which reading this can has given what the car still wants, or all it has."""
    return _stop(can, state_of(sheet).wanted)[0]


def _hoses(sheet: Sheet) -> Mass:
    return grams(sheet.rules.hose_allowance_g)


def _stop(hanging: CanOnJob | None, wanted: Mass | None) -> tuple[Reading | None, bool]:
    if hanging is None:
        return None, False
    now = hanging.tickets[-1].ticket
    return stop_of(wanted, _on_its_scale(now), now.division, hanging.container.can.type.shell)


def _on_its_scale(ticket: WeighTicket) -> Reading:
    """The reading in the unit that the scale shows, whatever it was typed in."""
    return Reading(ticket.reading_text, Unit(ticket.scale.unit), ticket.gross)


def _gives(can: CanOnJob) -> Mass:
    """What a can on the car still has above its nominal shell."""
    return max(can.tickets[-1].ticket.gross - can.container.can.type.shell, ZERO)


def _left_for_others(hanging: CanOnJob | None, wanted: Mass | None) -> Mass | None:
    if wanted is None:
        return None
    return max(wanted - _gives(hanging), ZERO) if hanging is not None else wanted


def _leak_test_stop(hanging: CanOnJob | None, test: Mass | None, sheet: Sheet) -> Reading | None:
    if hanging is None or test is None or len(hanging.tickets) != 1 or state_of(sheet).drawn > ZERO:
        return None
    now = hanging.tickets[-1].ticket
    return stop_at(_on_its_scale(now), test + _hoses(sheet), now.division)


def heel(sheet: Sheet, can: Container) -> Mass:
    """What stays in a can that closes by itself."""
    return min(grams(sheet.rules.heel_limit_g), grams(4)) if can.can.type.self_sealing else ZERO


def _needed(sheet: Sheet, free: list[Container], wanted: Mass | None) -> int | None:
    if not free or wanted is None or wanted <= ZERO:
        return None
    return cans_needed(wanted, net=free[0].can.type.net, heel=heel(sheet, free[0]), losses=ZERO)


def _next_cans(sheet: Sheet, free: list[Container], wanted: Mass | None) -> tuple[NextCan, ...]:
    """Open cans first, then the oldest delivery, until the car has what it wants."""
    if wanted is None:
        return ()
    by_code, left = {can.code: can for can in free}, left_in(sheet, free)
    for mine in sheet.cans:
        left[mine.container.code] = mine.book - (mine.before.ticket.gross - mine.tickets[-1].ticket.gross)
    takes = plan(wanted, [(can.code, left[can.code] - heel(sheet, can)) for can in free])
    return tuple(
        NextCan(by_code[one.code], _weighs(by_code[one.code], left[one.code]), one.mass, one.empties)
        for one in takes
    )


def left_in(sheet: Sheet, cans: Sequence[Container]) -> dict[str, Mass]:
    """What is in each can by the book, less what other open jobs have drawn; by code."""
    drawn = drawn_by_others(sheet.job, [can.code for can in cans])
    return {can.code: can.book - drawn.get(can.code, ZERO) for can in cans}


def _weighs(can: Container, left: Mass) -> Mass:
    """What the scale should show: its last ticket, or label and shell of a sealed can."""
    return can.last_gross if can.last_gross is not None else left + can.can.type.shell


def _next_reading(sheet: Sheet, hanging: CanOnJob | None, free: list[Container]) -> dict[str, object]:
    """What the form starts with: the can on the car, or the next one to take."""
    scale: object = None
    style: str = Style.BARE.value
    if sheet.cans:
        newest = max((row for can in sheet.cans for row in can.tickets), key=lambda row: row.ticket.number)
        scale, style = newest.ticket.scale_id, newest.ticket.style
    if hanging is not None:
        what = "empty" if _stop(hanging, state_of(sheet).wanted)[1] is False else "off"
        return {"container": hanging.container.code, "what": what, "scale": scale, "style": style}
    code = free[0].code if free else ""
    return {"container": code, "what": "before", "scale": scale, "style": style}


def free_cans(sheet: Sheet) -> QuerySet[Container]:
    """Cans that may go on this car: open ones first, then the oldest; none that is empty or hangs on a car."""
    hanging = OnTheCar.objects.values("container")
    emptied = CanTicket.objects.filter(emptied=True, retyped=None).values("ticket__container")
    usable = usable_cans(sheet.job.establishment, sheet.refrigerant)
    return usable.exclude(pk__in=hanging).exclude(pk__in=emptied)


def _used_up(sheet: Sheet) -> list[str]:
    return [can.container.code for can in sheet.cans if can.emptied]
