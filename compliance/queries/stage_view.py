"""What stands around a stage's form: running clocks, cylinders with their room, whether its cautions fold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from compliance.core.stages import Outcome, StageKind
from compliance.models import Draft, Stage
from compliance.queries.sheets import Sheet
from inventory.core.refrigerants import UNKNOWN
from inventory.models import Container
from inventory.queries import Room, cylinder_room, in_the_cabinet, last_ticket
from shop.core.clock import pressed_instant
from shop.core.mass import ZERO, Mass
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
    """A recovery cylinder that may take this car's refrigerant: what it should weigh now, and its room."""

    room: Room
    weighs: Mass
    mixed: bool


def _cylinder_now(one: Container, sheet: Sheet, mixed: bool) -> CylinderNow:
    """By its last ticket: the book of an open job waits for its closing, the scale does not."""
    last, tare = last_ticket(one), one.cylinder.tare
    weighs = last.gross if last is not None else tare + one.book
    by_book = cylinder_room(one, sheet.rules)
    return CylinderNow(Room(one, max(weighs - tare, ZERO), by_book.limit), weighs, mixed)


def cylinders(sheet: Sheet, *, unknown: bool = False) -> tuple[CylinderNow, ...]:
    """Where this car's refrigerant may go; or, ``unknown``, the cylinders kept for what nobody can name."""
    gas = UNKNOWN if unknown or sheet.mischarges else sheet.refrigerant
    rows = in_the_cabinet(sheet.job.establishment).filter(kind="cylinder").select_related("mixed")
    return tuple(
        _cylinder_now(one, sheet, mixed)
        for one in rows
        for mixed in (hasattr(one, "mixed") or one.refrigerant_id == UNKNOWN,)
        if (gas == UNKNOWN and mixed) or (one.refrigerant_id == gas and not mixed)
    )
