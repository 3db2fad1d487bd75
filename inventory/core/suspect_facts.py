"""What is known of a period between two counts of one refrigerant, as far as a suspect can be made of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from shop.core.mass import ZERO, Mass


@dataclass(frozen=True, slots=True)
class LineFacts:
    """One container at the count. ``ticketed``: it was weighed on a job in the period. ``known``: an earlier count
    weighed it, so that its own shell and fill are in the book already."""

    code: str
    kind: str
    how: str
    expected: Mass
    found: Mass
    division_g: float = 1.0
    shell_spread_g: float = 0.0
    ticketed: bool = False
    known: bool = False
    last: str = ""  # the last ticket before the count, as said in a sentence

    @property
    def difference(self) -> Mass:
        return self.found - self.expected

    @property
    def missing(self) -> bool:
        return self.how == "missing"

    @property
    def weighed(self) -> bool:
        return self.how == "weighed"


@dataclass(frozen=True, slots=True)
class PairFacts:
    """Two readings of one container, one after the other, and what the later one was for: before, after or count."""

    code: str
    kind: str
    earlier: Mass
    later: Mass
    later_text: str
    role: str
    where: str  # the job's number, or "" for the count


@dataclass(frozen=True, slots=True)
class DrawFacts:
    """What one can gave on one job by its tickets."""

    code: str
    job: str
    mass: Mass


@dataclass(frozen=True, slots=True)
class HangingFacts:
    """A can that was weighed before on a job and, when the cabinet was counted, not after."""

    code: str
    job: str
    could_give: Mass
    counted: bool


@dataclass(frozen=True, slots=True)
class LabelWeightFacts:
    """A job with weights that were taken from the label, and their standard uncertainty together."""

    job: str
    readings: int
    u_g: float


@dataclass(frozen=True, slots=True)
class DeliveryFacts:
    """A delivery of the period: its sound cans, which of them never had a label, what it is a twin of."""

    number: str
    cans: tuple[str, ...]
    net: Mass
    unlabelled: tuple[str, ...] = ()
    labelled: int = 0
    twin: str = ""
    to_come: int = 0


@dataclass(frozen=True, slots=True)
class MovedFacts:
    """A container that is on the way, in a van or outside."""

    code: str
    spot: str
    on_the_way: bool
    since: date


@dataclass(frozen=True, slots=True)
class ScaleFacts:
    """A scale that failed a check (``error``, at ``known``), or whose check was overdue (both nothing)."""

    code: str
    since: date | None
    error: Mass = ZERO
    known: Mass = ZERO
    readings: int = 0  # weighed at the count
    weighed_g: float = 0.0  # everything that was weighed: gross at the count, and drawn on jobs
    gain: float = 0.001
    division_g: float = 1.0


@dataclass(frozen=True, slots=True)
class BookedFacts:
    """What the book says already: released, or a fill difference."""

    purpose: str
    times: int
    mass: Mass


@dataclass(frozen=True, slots=True)
class PeriodFacts:
    """Everything that the suspects of one count and refrigerant are made of."""

    refrigerant: str
    lines: tuple[LineFacts, ...] = ()
    pairs: tuple[PairFacts, ...] = ()
    draws: tuple[DrawFacts, ...] = ()
    hanging: tuple[HangingFacts, ...] = ()
    label_weights: tuple[LabelWeightFacts, ...] = ()
    deliveries: tuple[DeliveryFacts, ...] = ()
    moved: tuple[MovedFacts, ...] = ()
    scales: tuple[ScaleFacts, ...] = ()
    booked: tuple[BookedFacts, ...] = ()
    swapped_slack_g: float = field(default=6.0)

    @property
    def difference(self) -> Mass:
        return Mass(sum(line.difference.ug for line in self.lines))
