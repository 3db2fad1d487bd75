"""What an inspection binder was drawn from, as stored for ever when it is kept.

Days are ISO dates, masses whole micrograms. No price, no customer's name or phone and no note about staff is in here,
so none can be printed.
"""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.certificate_facts import Shop
from compliance.core.usage_report_facts import UsageReportFacts


@dataclass(frozen=True, slots=True)
class CardHeld:
    program: str
    number: str
    issued_on: str
    copy_on_file: bool


@dataclass(frozen=True, slots=True)
class PersonLine:
    """Somebody who may do or did refrigerant work in the range. ``stretches`` are first and last day, "" if it runs."""

    name: str
    stretches: tuple[tuple[str, str], ...]
    cards: tuple[CardHeld, ...]
    stages: int
    covered: int
    jobs: int
    first_job: str
    last_job: str


@dataclass(frozen=True, slots=True)
class MachineFacts:
    code: str
    kind: str
    does: str
    refrigerants: str
    standard: str
    maker: str
    model: str
    serial: str
    made: str
    since: str
    until: str


@dataclass(frozen=True, slots=True)
class StatementLine:
    """A recovery machine and the statement that lists it. ``earlier``: what the owner states of one without a copy."""

    code: str
    plate: str
    document: str
    signed_on: str
    signer: str
    sent_on: str
    how: str
    address: str
    proven: bool
    earlier: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CheckedLine:
    code: str
    day: str
    passed: bool
    against: str
    off_ug: int | None


@dataclass(frozen=True, slots=True)
class FacilityLine:
    name: str
    address: str
    shipments: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShipmentLine:
    day: str
    number: str
    facility: str
    cylinder: str
    refrigerant: str
    net_ug: int
    receipt: str
    theirs_ug: int | None


@dataclass(frozen=True, slots=True)
class HeldLine:
    code: str
    refrigerant: str
    held_ug: int


@dataclass(frozen=True, slots=True)
class UnweighedLine:
    day: str
    ticket: int
    container: str
    reading: str
    origin: str
    by: str
    job: str


@dataclass(frozen=True, slots=True)
class CountFacts:
    day: str
    refrigerant: str
    lines: int
    expected_ug: int
    found_ug: int
    left_out: int
    opening: bool
    by: str


@dataclass(frozen=True, slots=True)
class CorrectedLine:
    slip: str
    job: str
    what: str
    old: str
    new: str
    why: str
    by: str
    at: str
    certificate: str
    private: bool  # a customer's name: that it was put right is told, not what it was


@dataclass(frozen=True, slots=True)
class RuleLine:
    """One rule of a state's or a local pack in force on the last day."""

    asked_by: str
    cite: str
    sentence: str


@dataclass(frozen=True, slots=True)
class VisitLine:
    """An earlier visit that has ended."""

    number: str
    day: str
    agency: str
    why: str
    shown: int
    copies: int
    ended_at: str


@dataclass(frozen=True, slots=True)
class LookLine:
    """What was not ready when the binder was made, as the check said it."""

    title: str
    state: str
    sentence: str


@dataclass(frozen=True, slots=True)
class BinderFacts:
    number: str  # "" while it is only looked at
    first: str
    last: str
    made_at: str
    made_by: str
    shop: Shop
    legal_name: str
    owners: tuple[str, ...]
    officers: tuple[str, ...]
    looks: tuple[LookLine, ...]
    people: tuple[PersonLine, ...]
    uncovered: int
    statements: tuple[StatementLine, ...]
    equipment: tuple[MachineFacts, ...]
    checks: tuple[CheckedLine, ...]
    facilities: tuple[FacilityLine, ...]
    shipments: tuple[ShipmentLine, ...]
    held: tuple[HeldLine, ...]
    usage: UsageReportFacts
    unweighed: tuple[UnweighedLine, ...]
    counts: tuple[CountFacts, ...]
    corrections: tuple[CorrectedLine, ...]
    packs: str
    state_said: str
    rules: tuple[RuleLine, ...]
    visits: tuple[VisitLine, ...]
    check_url: str
    why: str = ""
    practice: bool = False
