"""Control charts of closures: one stream for each scale, technician and lot, and what an alarm asks for.

Tabular CUSUM of scores with k = 0.5 and h = 5: without a shift it alarms once in 465 values on average, with a shift of
one standard uncertainty after 10. An alarm asks for a look and starts anew only after one is recorded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

from inventory.core.difference import CusumPoint, cusum
from shop.core.phrase import Phrase, phrase

K, H = 0.5, 5.0
MOST = 4.0  # of one score, so that one odd value, which is told when it is weighed, raises no alarm by itself
USUAL_OF = 10  # cans that show what usually stays in one
SCALE, TECHNICIAN, LOT = "scale", "technician", "lot"
SHELF, CAN, CHECK = "shelf", "can", "check"


@dataclass(frozen=True, slots=True)
class Value:
    """One closure: its residual and standard uncertainty, and how much was weighed for it. ``number`` is of the weigh
    ticket, or of the check, that it ends with."""

    on: date
    number: int
    residual_g: float
    u_g: float
    of_g: float = 0.0

    @property
    def score(self) -> float:
        """How many standard uncertainties, at most ``MOST`` either way."""
        return max(-MOST, min(MOST, self.residual_g / self.u_g)) if self.u_g else 0.0


@dataclass(frozen=True, slots=True)
class Stream:
    """``kind`` and ``key`` say whose, ``what`` which closure; ``shown`` is the key as people read it."""

    kind: str
    key: str
    what: str
    shown: str
    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Alarm:
    """Since when the sum has grown, which way, and by how much on average since then."""

    since: date
    up: bool
    mean_g: float
    percent: float | None

    @property
    def sign(self) -> str:
        return "+" if self.up else "−"


@dataclass(frozen=True, slots=True)
class Chart:
    """A stream since the last look at it."""

    stream: Stream
    values: tuple[Value, ...]
    points: tuple[CusumPoint, ...]
    alarm: Alarm | None

    @property
    def through(self) -> int:
        """The number that a look now reaches to."""
        return self.values[-1].number if self.values else 0

    @property
    def highest(self) -> float:
        return max((max(point.upper, point.lower) for point in self.points), default=0.0)

    @property
    def sentence(self) -> Phrase:
        return _alarming(self.stream, self.alarm) if self.alarm else _quiet(self.stream, len(self.values))


def usual_heel(residuals: Sequence[float]) -> float:
    """What an emptied can usually gives less than its label, as the first ten cans of the charts show: a heel is no
    drift. Never above nothing: cans that give too much from the start are not usual."""
    return min(0.0, median(residuals[:USUAL_OF])) if residuals else 0.0


def chart(stream: Stream, looked_through: int = 0) -> Chart:
    """The chart of a stream's values after those that were looked at."""
    values = tuple(value for value in stream.values if value.number > looked_through)
    points = tuple(cusum([value.score for value in values], k=K, h=H))
    return Chart(stream, values, points, _alarm(values, points))


def _alarm(values: Sequence[Value], points: Sequence[CusumPoint]) -> Alarm | None:
    """From the first point over h: back to where its sum began to grow, on to the last value."""
    at = next((place for place, point in enumerate(points) if point.alarm), None)
    if at is None:
        return None
    up = points[at].upper > H
    sums = [point.upper if up else point.lower for point in points]
    began = at
    while began and sums[began - 1] > 0:
        began -= 1
    since = values[began:]
    mean = sum(value.residual_g for value in since) / len(since)
    weighed = sum(value.of_g for value in since)
    percent = 100 * sum(value.residual_g for value in since) / weighed if weighed else None
    return Alarm(values[began].on, up, mean, percent)


def _quiet(stream: Stream, count: int) -> Phrase:
    told = {"count": count, "whose": stream.shown}
    if count == 1:
        return phrase("Too early to say: one value so far of {whose}.", **told)
    if stream.what == CHECK:
        return phrase("Nothing to see in {count} checks of {whose} with the known weight.", **told)
    if stream.kind == SCALE:
        return phrase("Nothing to see in {count} weighings on {whose}.", **told)
    if stream.kind == TECHNICIAN:
        return phrase("Nothing to see in {count} weighings of {whose}.", **told)
    return phrase("Nothing to see in {count} weighings of lot {whose}.", **told)


def _alarming(stream: Stream, alarm: Alarm) -> Phrase:
    told = {
        "whose": stream.shown,
        "since": alarm.since,
        "day": alarm.since.day,
        "sign": alarm.sign,
        "mean": f"{abs(alarm.mean_g):.1f}",
        "percent": f"{abs(alarm.percent or 0.0):.1f}",
    }
    if stream.kind == TECHNICIAN:
        return _of_a_technician(alarm, told)
    if stream.kind == LOT:
        return _of_a_lot(stream, alarm, told)
    if stream.what == CHECK:
        return phrase(
            "Checks of {whose} with the known weight lean one way since {since:%b} {day}: about {sign}{mean} g.",
            **told,
        )
    if stream.what == SHELF:
        return phrase(
            "Cans weigh {sign}{mean} g on {whose} since {since:%b} {day}, with nothing taken out. Check its zero, and"
            " check it with the known weight.",
            **told,
        )
    way = (
        phrase("{whose} has drifted up since {since:%b} {day}: about {sign}{percent} percent.", **told)
        if alarm.up
        else phrase("{whose} has drifted down since {since:%b} {day}: about {sign}{percent} percent.", **told)
    )
    return phrase("{way} Check it with the known weight.", way=way)


def _of_a_technician(alarm: Alarm, told: dict[str, object]) -> Phrase:
    """About how weights were taken; a chart knows nothing about anybody."""
    return phrase(
        "Weights taken by {whose} come out {sign}{mean} g since {since:%b} {day}. Look together at how they are taken:"
        " pan clean, hose off, the same way before and after. Scale and cans may be why.",
        **told,
    )


def _of_a_lot(stream: Stream, alarm: Alarm, told: dict[str, object]) -> Phrase:
    if stream.what == SHELF and not alarm.up:
        return phrase(
            "Cans of lot {whose} lose about {mean} g on the shelf since {since:%b} {day}. Look at their valves.",
            **told,
        )
    if stream.what == SHELF:
        return phrase(
            "Cans of lot {whose} gain about {mean} g on the shelf since {since:%b} {day}. Look for frost or dirt, and"
            " check the scale.",
            **told,
        )
    if alarm.up:
        return phrase(
            "Cans of lot {whose} give about {mean} g more than cans usually do since {since:%b} {day}. Check the scale;"
            " they may be filled well.",
            **told,
        )
    return phrase(
        "Cans of lot {whose} give about {mean} g less than cans usually do since {since:%b} {day}. They may be filled"
        " short: weigh the next sealed ones, and tell the supplier.",
        **told,
    )
