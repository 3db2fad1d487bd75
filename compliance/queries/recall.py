"""Recall by lot: which vehicles got refrigerant of a lot, and where its cans are now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q

from compliance.models import CanTicket, Job
from compliance.queries.finding import Visit, visits
from inventory.core.ledger import PlaceKind, Purpose
from inventory.models import Container, Movement, SwapSlip
from inventory.queries import containers
from shop.core.mass import ZERO, Mass, total
from shop.models import Establishment

OUTSIDE = (PlaceKind.VEHICLES, PlaceKind.HOSES, PlaceKind.AIR, PlaceKind.CYLINDER)


@dataclass(frozen=True, slots=True)
class LotCan:
    """One can of the lot: where it is now and where its grams went by the book."""

    container: Container
    job: str  # the open job whose scale has it, "" when none has
    into_cars: Mass
    elsewhere: Mass

    @property
    def where(self) -> str:
        """One of our own words for where it is."""
        if hasattr(self.container, "fate"):
            return str(self.container.fate.get_what_display())
        if self.container.book <= ZERO:
            return "Holds nothing by the book"
        return "Open" if self.container.last_text else "Sealed"


@dataclass(frozen=True, slots=True)
class Dose:
    """What one vehicle got of one can on one job, and what of it was recovered back into a cylinder. ``mass`` is None
    while the job is open. ``slip`` names the swap that makes it uncertain which of two cans it was."""

    visit: Visit
    can: str
    mass: Mass | None
    back: Mass = ZERO
    slip: str = ""


@dataclass(frozen=True, slots=True)
class Recall:
    """A lot: its cans, the doses they gave, and the swap slips that touch it."""

    lot: str
    cans: tuple[LotCan, ...]
    doses: tuple[Dose, ...]
    slips: tuple[SwapSlip, ...]

    @property
    def into_cars(self) -> Mass:
        return total(can.into_cars for can in self.cans)

    @property
    def still_held(self) -> Mass:
        return total(can.container.book for can in self.cans)

    @property
    def vehicles(self) -> int:
        return len({dose.visit.vehicle.pk for dose in self.doses})


def recall(establishment: Establishment, lot: str) -> Recall:
    """Everything about one lot, however its letters were typed; a lot that nobody knows has no cans."""
    known = containers(establishment).exclude(fate__what="undone")
    mine = known.filter(known_lot__iexact=lot).exclude(known_lot="")  # type: ignore[misc]
    rows = list(
        mine.select_related("fate", "can__type", "delivered__line__delivery__supplier").order_by("pk")
    )
    codes = [row.code for row in rows]
    slips = _slips(codes)
    swapped = {code: slip.number for slip in slips for code in (slip.heavier_id, slip.lighter_id)}
    drawn = list(_drawn([*codes, *(code for code in swapped if code not in codes)]))
    hanging = _on_open_jobs(codes)
    cans = [_can(row, [one for one in drawn if _code(one) == row.code], hanging) for row in rows]
    return Recall(lot, tuple(cans), tuple(_doses(drawn, hanging, swapped)), tuple(slips))


def _slips(codes: list[str]) -> list[SwapSlip]:
    touching = SwapSlip.objects.filter(Q(heavier__in=codes) | Q(lighter__in=codes))
    return list(touching.select_related("heavier", "lighter").order_by("pk"))


def _drawn(codes: list[str]) -> Iterable[Movement]:
    """What left these cans, and what a correction slip gave back to them."""
    given_back = Q(target__in=codes, source_kind__in=OUTSIDE, entry__correction__isnull=False)
    left = Movement.objects.filter(
        Q(source__in=codes) | given_back, entry__reverses=None, entry__reversed_by=None
    )
    kin = ("entry__closing__job__vehicle", "entry__correction__closing__job__vehicle")
    return left.select_related(*kin).order_by("on", "pk")


def _job_of(one: Movement) -> Job | None:
    """Whose closing or correction slip booked it."""
    if hasattr(one.entry, "closing"):
        return one.entry.closing.job
    return one.entry.correction.closing.job if hasattr(one.entry, "correction") else None


def _left(one: Movement) -> bool:
    return one.source_kind == PlaceKind.CAN


def _code(one: Movement) -> str:
    return one.source_id if _left(one) else one.target_id


def _out(one: Movement) -> Mass:
    return one.mass if _left(one) else -one.mass


def _in_a_car(one: Movement) -> bool:
    return PlaceKind.VEHICLES in (one.source_kind, one.target_kind)


def _on_open_jobs(codes: list[str]) -> list[CanTicket]:
    """The newest ticket of each can on each job that is still open."""
    rows = CanTicket.objects.filter(ticket__container__in=codes, ticket__set_aside=None, job__closing=None)
    newest = {
        (row.job_id, row.ticket.container_id): row for row in rows.select_related("ticket", "job__vehicle")
    }
    return list(newest.values())


def _through_a_car(one: Movement) -> bool:
    return _in_a_car(one) or one.purpose == Purpose.RECOVERED_BACK


def _can(row: Container, drawn: list[Movement], hanging: list[CanTicket]) -> LotCan:
    into = total(_out(one) for one in drawn if _in_a_car(one))
    job = next((one.job.number for one in hanging if one.ticket.container_id == row.code), "")
    return LotCan(row, job, into, total(_out(one) for one in drawn) - into)


def _doses(drawn: list[Movement], hanging: list[CanTicket], swapped: dict[str, str]) -> Iterable[Dose]:
    into = [(job, one) for one in drawn if _through_a_car(one) and (job := _job_of(one)) is not None]
    jobs = {job for job, _ in into} | {one.job for one in hanging}
    seen = {visit.number: visit for visit in visits(sorted(jobs, key=lambda job: job.pk))}
    for number, can in dict.fromkeys((job.number, _code(one)) for job, one in into):
        mine = [one for job, one in into if (job.number, _code(one)) == (number, can)]
        stayed = total(_out(one) for one in mine if _in_a_car(one))
        yield Dose(seen[number], can, stayed, total(_out(one) for one in mine) - stayed, swapped.get(can, ""))
    for ticket in hanging:
        can = ticket.ticket.container_id
        yield Dose(seen[ticket.job.number], can, None, slip=swapped.get(can, ""))
