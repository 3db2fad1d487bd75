"""What a pack is made of. The lists here are closed: a pack that says anything else is refused."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

from shop.core.phrase import phrase


class Level(StrEnum):
    """Who made the rules, from the widest to the narrowest."""

    FEDERAL = "federal"
    STATE = "state"
    LOCAL = "local"

    @property
    def asks(self) -> str:
        """The word printed beside whatever a rule of this level asks for."""
        return _ASKS[self]

    @property
    def rank(self) -> int:
        return list(Level).index(self)


_ASKS = {
    Level.FEDERAL: phrase("Federal law"),
    Level.STATE: phrase("State rule"),
    Level.LOCAL: phrase("Local rule"),
}


class Kind(StrEnum):
    FIELD = phrase("field")
    CHECKLIST = phrase("checklist")
    GATE = phrase("gate")
    DISCLOSURE = phrase("disclosure")
    INVOICE_LINE = phrase("invoice line")
    LABEL = phrase("label")
    RETENTION = phrase("retention")
    REPORT = phrase("report")
    SUPPLY = phrase("supply")
    ATTRIBUTION = phrase("attribution")


class Status(StrEnum):
    """How the text of a rule was seen. Only what was read may stop anybody."""

    READ = "read"
    SECONDARY = "secondary"
    MEMORY = "memory"

    @property
    def said(self) -> str:
        return _SAID[self]


_SAID = {
    Status.READ: phrase("text read"),
    Status.SECONDARY: phrase("from a second-hand source, text not read"),
    Status.MEMORY: phrase("from memory, not checked"),
}


class Severity(StrEnum):
    INFO = "info"
    WARNS = "warns"
    BLOCKS = "blocks"

    @property
    def rank(self) -> int:
        return list(Severity).index(self)


class Moment(StrEnum):
    """When a rule is looked at: a stage of the job, its closing, or something that is no job."""

    CHECK_IN = "check-in"
    RECOVERY = "recovery"
    LEAK_CHECK = "leak-check"
    REPAIR = "repair"
    EVACUATION = "evacuation"
    LEAK_TEST = "leak-test"
    CHARGE = "charge"
    FINAL_READINGS = "final-readings"
    CLOSING = "closing"
    RECEIVING = "receiving"
    SHIPPING = "shipping"
    KEEPING = "keeping"
    SELLING = "selling"


Parameter = str | int | Decimal | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PackRule:
    """One rule. No ``since``: when it began was not looked up. No ``refrigerants``: it is for all of them."""

    code: str
    kind: Kind
    sentence: str
    cite: str
    status: Status
    severity: Severity
    moment: Moment
    read_at: str = ""
    read_on: date | None = None
    since: date | None = None
    until: date | None = None
    refrigerants: tuple[str, ...] = ()
    vehicles: tuple[str, ...] = ()
    tightens: str = ""
    params: dict[str, Parameter] = field(default_factory=dict)
    line: int = 0

    def holds(self, day: date) -> bool:
        return (self.since is None or self.since <= day) and (self.until is None or day <= self.until)

    def text(self, name: str) -> str:
        return str(self.params.get(name, ""))

    def number(self, name: str) -> int:
        value = self.params.get(name, 0)
        return value if isinstance(value, int) else 0

    def grams(self, name: str) -> Decimal | None:
        value = self.params.get(name)
        return value if isinstance(value, Decimal) else None

    def texts(self, name: str) -> tuple[str, ...]:
        value = self.params.get(name, ())
        return value if isinstance(value, tuple) else ()


@dataclass(frozen=True, slots=True)
class Pack:
    """One edition of one jurisdiction's rules. It is used for the jobs from ``since`` to ``until``."""

    id: str
    edition: str
    level: Level
    title: str
    since: date
    read_on: date
    rules: tuple[PackRule, ...]
    sha256: str
    until: date | None = None
    parent: str = ""
    parent_line: int = 1
    note: str = ""

    @property
    def name(self) -> str:
        """How papers name it: "Wisconsin 2026-11"."""
        return f"{self.title} {self.edition}"

    @property
    def key(self) -> str:
        return f"{self.id}-{self.edition}"

    def covers(self, day: date) -> bool:
        return self.since <= day and (self.until is None or day <= self.until)


@dataclass(frozen=True, slots=True)
class Place:
    """A state for which no pack is on file. ``looked_on`` is None where nobody has looked yet."""

    code: str
    name: str
    looked_on: date | None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with a pack's file, and on which line."""

    line: int
    message: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.message}"
