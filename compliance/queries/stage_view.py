"""What stands around a stage's form: running clocks, cylinders with their room, whether its cautions fold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from compliance.core.stages import Outcome, StageKind
from compliance.models import Draft, Stage
from compliance.queries.sheets import Sheet
from inventory.core.refrigerants import UNKNOWN
from inventory.core.requalification import filling_findings
from inventory.models import Container
from inventory.queries import Room, cylinder_room, in_the_cabinet
from shop.core.clock import pressed_instant
from shop.core.mass import Mass, Unit
from shop.core.phrase import phrase
from shop.models import Person

READ_THREE_TIMES = 3


def cautions_folded(person: Person, kind: StageKind) -> bool:
    """Whether this person has signed the step three times: then its ordinary cautions fold to a word."""
    done = Stage.objects.filter(by=person, kind=kind, outcome=Outcome.DONE)
    return done[:READ_THREE_TIMES].count() == READ_THREE_TIMES


@dataclass(frozen=True, slots=True)
class Timer:
    """One clock of a stage: when it was started, when it was stopped, and how long the shop's rule asks for."""

    name: str
    starts: str
    stops: str
    began: datetime | None
    ended: datetime | None
    due: datetime | None
    now: datetime

    @property
    def running(self) -> bool:
        return self.began is not None and self.ended is None

    @property
    def minutes(self) -> int:
        until = self.ended or self.now
        return int((until - self.began).total_seconds() // 60) if self.began is not None else 0


def timers(sheet: Sheet, kind: StageKind, draft: Draft | None, now: datetime) -> tuple[Timer, ...]:
    """The clocks of evacuation and of the leak test, from the instants that were pressed. They survive everything."""
    typed, rules = draft.typed if draft is not None else {}, sheet.rules
    hold = ("hold_started_at", "hold_stopped_at")
    if kind is StageKind.EVACUATION:
        pump = ("started_at", "stopped_at")
        return (
            _timer(phrase("Pump"), *pump, typed, int(rules.evacuation_minutes), now),
            _timer(phrase("Vacuum hold"), *hold, typed, int(rules.vacuum_hold_minutes), now),
        )
    if kind is StageKind.LEAK_TEST:
        return (_timer(phrase("Leak-test hold"), *hold, typed, int(rules.pressure_hold_minutes), now),)
    return ()


def _timer(
    name: str, starts: str, stops: str, typed: dict[str, object], minutes: int, now: datetime
) -> Timer:
    began, ended = (
        pressed_instant(typed.get(f"{starts}_instant")),
        pressed_instant(typed.get(f"{stops}_instant")),
    )
    due = began + timedelta(minutes=minutes) if began is not None and minutes else None
    return Timer(name, starts, stops, began, ended if began and ended and ended >= began else None, due, now)


@dataclass(frozen=True, slots=True)
class CylinderNow:
    """A recovery cylinder that may take this car's refrigerant: what it should weigh now, and its room. ``short`` says
    that this car's label charge is more than the room left."""

    room: Room
    weighs: Mass
    mixed: bool
    short: str


def _cylinder_now(one: Container, sheet: Sheet, mixed: bool) -> CylinderNow:
    """By its last ticket: the book of an open job waits for its closing, the scale does not."""
    weighs = one.last_gross if one.last_gross is not None else one.cylinder.tare + one.book
    room = cylinder_room(one, sheet.rules, gross=weighs, division=one.last_division)
    return CylinderNow(room, weighs, mixed, _short(room, sheet))


def _short(room: Room, sheet: Sheet) -> str:
    """What speaks against this cylinder for this car: its requalification first, then its room."""
    stamped = room.cylinder.cylinder.requalified_on
    for finding in filling_findings(room.cylinder.code, stamped, room.years, sheet.job.on, "cylinder"):
        return finding.message
    charge = sheet.label.charge if sheet.label is not None else None
    if charge is None or room.takes(charge):
        return ""
    return phrase(
        "This car's label says {charge} g, more than the room left. Take another cylinder before you start.",
        charge=f"{charge.rounded(Unit.G, 0):,}",
    )


def cylinders(sheet: Sheet, *, unknown: bool = False) -> tuple[CylinderNow, ...]:
    """Where this car's refrigerant may go; or, ``unknown``, the cylinders kept for what nobody can name."""
    gas = UNKNOWN if unknown or sheet.mischarges else sheet.refrigerant
    rows = in_the_cabinet(sheet.job.establishment).filter(kind="cylinder")
    return tuple(
        _cylinder_now(one, sheet, mixed)
        for one in rows
        for mixed in (hasattr(one, "mixed") or one.refrigerant_id == UNKNOWN,)
        if (gas == UNKNOWN and mixed) or (one.refrigerant_id == gas and not mixed)
    )
