"""The facts of one case file, as they are stored for ever: one job, everything that was written of it, and what is
missing. Masses are whole micrograms, instants ISO 8601 with offset, days ISO dates, "" is "not recorded"."""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.certificate_facts import CertificateFacts


@dataclass(frozen=True, slots=True)
class TicketFacts:
    """One weighing, in the order of weighing; ``stood`` is what it said before a correction slip, "" when none did."""

    number: int
    container: str
    moment: str
    reading: str
    scale: str
    how: str
    at: str
    by: str
    stood: str = ""


@dataclass(frozen=True, slots=True)
class ScaleCheckFacts:
    """The check of a scale next to the job, on one side of it; ``day`` is "" when there is none."""

    scale: str
    side: str  # "before" or "after"
    day: str
    against: str
    known_ug: int = 0
    shown_ug: int = 0
    passed: bool = False


@dataclass(frozen=True, slots=True)
class EquipmentFacts:
    code: str
    what: str
    plate: str
    standard: str


@dataclass(frozen=True, slots=True)
class OriginFacts:
    """Where a can came from."""

    can: str
    what: str
    lot: str
    delivery: str
    slip: str
    supplier: str
    day: str


@dataclass(frozen=True, slots=True)
class VisitFacts:
    """An earlier visit of this vehicle; nobody is named, since the car may have been somebody else's."""

    job: str
    day: str
    refrigerant: str
    put_in_ug: int | None
    leak: str
    certificate: str


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """A photo by its hash; the picture itself stands beside the record."""

    sha256: str
    what: str
    stage: str
    caption: str
    at: str
    by: str


@dataclass(frozen=True, slots=True)
class HoldFacts:
    why: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class CaseFileFacts:
    number: str
    version: int
    made_at: str
    made_by: str
    why: str
    certificate: CertificateFacts
    hold: HoldFacts | None
    tickets: tuple[TicketFacts, ...]
    checks: tuple[ScaleCheckFacts, ...]
    equipment: tuple[EquipmentFacts, ...]
    origins: tuple[OriginFacts, ...]
    visits: tuple[VisitFacts, ...]
    photos: tuple[PhotoFacts, ...]
    signed: str
    check_url: str
    practice: bool = False
    layout: int = 1
