"""The facts of one usage report, as they are stored for ever. Masses are whole micrograms, days are ISO dates."""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.certificate_facts import Shop


@dataclass(frozen=True, slots=True)
class NewRefrigerant:
    """Cans of one refrigerant: expected = opening + received + fill - all that left; nothing else is allowed in."""

    refrigerant: str
    opening_ug: int
    opening_basis: str  # "count of 2026-03-31" or "the book; not counted"
    opening_sealed: int
    opening_open: int
    received_ug: int
    received_cans: int
    refused_cans: int
    fill_ug: int
    fill_cans: int
    vehicles_ug: int
    vehicle_jobs: int
    hoses_ug: int
    recovered_back_ug: int
    heels_ug: int
    released_ug: int  # purged and released together
    released_events: int
    returned_ug: int
    expected_ug: int
    counted_ug: int | None  # None: not counted on the last day
    counted_basis: str
    counted_sealed: int
    counted_open: int
    difference_ug: int | None
    handled_ug: int
    emptied_cans: int
    damaged_ug: int = (
        0  # taken in and refused later, less than nothing; a can refused on arrival never came in
    )
    lost_before_ug: int = 0  # gone from damaged cans before our work; the supplier's, in no sum of ours
    given_back_cans: int = 0  # taken in, and refused later or sent back


@dataclass(frozen=True, slots=True)
class RecoveredRefrigerant:
    """Cylinders of one refrigerant."""

    refrigerant: str
    opening_ug: int
    vehicles_ug: int
    vehicle_jobs: int
    recovered_back_ug: int
    heels_ug: int
    charged_ug: int
    shipped_ug: int
    released_ug: int
    expected_ug: int
    weighed_ug: int | None
    difference_ug: int | None


@dataclass(frozen=True, slots=True)
class JobLine:
    day: str
    job: str
    certificate: str
    vehicle: str
    refrigerant: str
    recovered_ug: int
    leak: str
    charged_ug: int | None  # None: not charged
    label_ug: int | None
    deviation_ug: int | None
    verdict: str
    technician: str


@dataclass(frozen=True, slots=True)
class TechnicianLine:
    name: str
    refrigerant: str
    jobs: int
    charged_ug: int
    cards_in_force: int  # of those jobs' days


@dataclass(frozen=True, slots=True)
class PurchaseLine:
    day: str
    supplier: str
    slip: str
    invoice: str
    lots: str
    what: str
    cans: int
    mass_ug: int
    asked: str


@dataclass(frozen=True, slots=True)
class LotLine:
    """What came out of the cans of one lot, in the jobs of the period."""

    refrigerant: str
    lot: str
    cans: int
    jobs: int
    out_ug: int


@dataclass(frozen=True, slots=True)
class ReleaseLine:
    day: str
    job: str
    refrigerant: str
    mass_ug: int
    why: str


@dataclass(frozen=True, slots=True)
class CorrectionLine:
    """One correction slip that touches the period. The masses are what the book moved for it, signed: into vehicles,
    out of vehicles, into the air. ``here`` says which way they part the lists from the account: 1 when the book moved
    in this period for a job of another, -1 when it moved in another for a job of this one, else 0."""

    day: str
    slip: str
    job: str
    job_day: str
    refrigerant: str
    what: str
    why: str
    by: str
    charged_ug: int
    recovered_ug: int
    released_ug: int
    here: int


@dataclass(frozen=True, slots=True)
class ClosureLine:
    """One of the four independent closures: residual and its standard uncertainty, and what it would have caught."""

    name: str
    refrigerant: str
    cases: int
    residual_ug: int
    u_ug: int
    says: str


@dataclass(frozen=True, slots=True)
class Quality:
    tickets: int
    weighed: int
    from_label: int
    typed_later: int
    retyped: int
    scale_checks: int
    scale_checks_passed: int
    corrections: int


@dataclass(frozen=True, slots=True)
class Co2eLine:
    """Releases of one refrigerant; ``factor`` and ``kg`` are exact decimals as text, empty where the table has none
    and ``why`` says so."""

    refrigerant: str
    released_ug: int
    factor: str
    kg: str
    why: str


@dataclass(frozen=True, slots=True)
class Co2eFacts:
    """By which table, as it was named that day, and its source; one table for all lines."""

    table: str
    said: str
    source: str
    lines: tuple[Co2eLine, ...]
    total_kg: str


@dataclass(frozen=True, slots=True)
class UsageReportFacts:
    number: str  # "" on a draft
    version: int
    first: str
    last: str
    made_at: str
    made_by: str
    shop: Shop
    vehicles: int
    stopped_jobs: int
    new: tuple[NewRefrigerant, ...]
    recovered: tuple[RecoveredRefrigerant, ...]
    releases: tuple[ReleaseLine, ...]
    jobs: tuple[JobLine, ...]
    technicians: tuple[TechnicianLine, ...]
    purchases: tuple[PurchaseLine, ...]
    closures: tuple[ClosureLine, ...]
    quality: Quality
    counts: tuple[str, ...]  # days counted in the period
    unfinished: tuple[str, ...]  # what stops a draft from being signed, or was left open
    signed: str
    recorded_under: str
    check_url: str
    replaces: str = ""
    practice: bool = False
    layout: int = 1
    co2e: Co2eFacts | None = None  # None: not asked for
    lots: tuple[LotLine, ...] = ()  # reports signed before lots were listed have none
    corrections: tuple[CorrectionLine, ...] = ()
    changed: tuple[str, ...] = ()  # since the version that this one replaces
