"""The facts of one service certificate, as they are stored for ever.

Masses are whole micrograms (``*_ug``), readings are the text as typed with its unit, instants are ISO 8601 with the
shop's offset, days are ISO dates. An empty string means "not recorded" and is printed as that.
"""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.certificate_notes import AskedFacts, CorrectionFacts


@dataclass(frozen=True, slots=True)
class Shop:
    name: str
    address: str
    phone: str
    state_number: str = ""


@dataclass(frozen=True, slots=True)
class Car:
    customer: str
    description: str
    vin: str
    plate: str
    odometer: str
    complaint: str
    repair_order: str


@dataclass(frozen=True, slots=True)
class System:
    """What the label under the hood says. ``charge`` and the tolerances keep the typed reading."""

    refrigerant: str
    charge: str
    charge_ug: int | None
    tolerance: str
    tolerance_below_ug: int | None
    tolerance_above_ug: int | None
    source: str
    retrofit: str = ""
    compressor: str = ""


@dataclass(frozen=True, slots=True)
class Doer:
    """Who did a stage, and whether their 609 card was in force on that day."""

    stage: str
    name: str
    day: str
    card: str  # number, "" when none is on file
    program: str
    issued: str
    standing: str  # one sentence, printed as it stands


@dataclass(frozen=True, slots=True)
class RecoveryFacts:
    turn: int
    by: str
    started: str
    ended: str
    machine: str
    cylinder: str
    before: str
    after: str
    out_ug: int
    note: str = ""
    gauge: str = ""
    identified: str = ""
    into: str = ""  # what the cylinder is for, when that is not the car's own refrigerant


@dataclass(frozen=True, slots=True)
class LeakCheckFacts:
    by: str
    at: str
    methods: str
    instrument: str
    places: str
    result: str  # "no leak seen", "leak found", "not tested"
    detail: str = ""
    detector_scale: str = (
        ""  # g a year that the detector was set to, "none" when none was used, "" on older papers
    )


@dataclass(frozen=True, slots=True)
class VacuumFacts:
    """What the readings came to when the job was closed, in words that compliance.core.certificate_final prints."""

    gauge: str  # "compound gauge", "electronic vacuum gauge"
    air: str  # what the gauge counted from
    pulls: bool  # the pump, beyond what air and gauge may be off by
    boils: str  # where water boils under the deepest reading; "" from a compound gauge
    rise: str  # over the hold, "" when its ends cannot be compared
    judged: str  # a value of compliance.core.evacuation.Judged, or ""


@dataclass(frozen=True, slots=True)
class EvacuationFacts:
    by: str
    pump: str
    started: str
    stopped: str
    minutes: int
    deepest: str
    hold_minutes: int
    hold_from: str
    hold_to: str
    result: str  # "held", "did not hold", "no hold taken"
    gauge: str = ""
    hold_middle: str = ""
    barometer: str = ""
    temperature: str = ""
    vacuum: VacuumFacts | None = None


@dataclass(frozen=True, slots=True)
class HoldFacts:
    """What the hold could see when the job was closed, in parts that compliance.core.certificate_holds words."""

    sight: str  # "seeing", "blind", "excess" or "unknown"
    degrees: str = ""
    limit: str = ""  # smallest loss it could show, and that as a rate over the hold
    rate: str = ""
    off: str = ""  # pressure that the temperature does not explain, "" when within what the readings excuse
    gone: str = ""  # "" when it was above
    why: str = ""  # of "unknown"
    air: str = ""  # what the gauge counted from
    equations: str = ""


@dataclass(frozen=True, slots=True)
class LeakTestFacts:
    by: str
    at: str
    mass_ug: int
    pressure_start: str
    pressure_end: str
    minutes: int
    temperature: str
    result: str
    temperature_end: str = ""
    barometer: str = ""
    saw: HoldFacts | None = None


@dataclass(frozen=True, slots=True)
class CanFacts:
    code: str
    lot: str
    before: str
    after: str
    out_ug: int
    scale: str
    style: str
    origin: str


@dataclass(frozen=True, slots=True)
class ChargeFactsPrinted:
    """The charge sum: out = vehicle + hoses + purge + released + recovered back, exactly."""

    by: str
    started: str
    ended: str
    cans: tuple[CanFacts, ...]
    out_ug: int
    hoses_ug: int
    hoses_basis: str
    purge_ug: int
    released_ug: int
    released_why: str
    recovered_back_ug: int
    vehicle_ug: int
    deviation_ug: int | None
    expanded_ug: int
    worst_ug: int
    probability: str  # "0.9937", "" without a tolerance
    verdict: str
    scale_check: str = ""


@dataclass(frozen=True, slots=True)
class TableLineFacts:
    """One reading against the maker's table: in its units, with the interpolated band; ``because`` when no verdict."""

    quantity: str
    value: str
    place: str
    low: str
    high: str
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class FinalWorkedFacts:
    """What was worked out of the final readings, and by which version of the property equations."""

    condensing: str
    approach: str
    evaporating: str
    table: tuple[TableLineFacts, ...]
    equations: str


@dataclass(frozen=True, slots=True)
class SinceLastFacts:
    """The shop's finding about the time since this vehicle's last charge here; whole grams as text, ``give`` is twice
    the standard uncertainty. ``per_year`` is "" where no yearly rate is given."""

    job: str
    days: int
    lost: str
    lost_give: str
    per_year: str
    per_year_give: str
    is_shown: bool


@dataclass(frozen=True, slots=True)
class FinalFacts:
    """Logged, never judged: each reading as typed with its unit, "" when it was not taken."""

    by: str
    at: str
    low_side: str
    high_side: str
    vent: str
    outdoor: str
    humidity: str
    engine: str
    blower: str
    mode: str
    caps_on: bool
    note: str = ""
    inlet: str = ""
    minutes: str = ""
    worked: FinalWorkedFacts | None = None


@dataclass(frozen=True, slots=True)
class StopFacts:
    """The not-charged version: why it stopped, what is true of the car now, what the customer chose."""

    why: str
    state_now: str
    choice: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class CertificateFacts:
    number: str
    version: int
    job: str
    job_day: str
    made_at: str
    made_by: str
    shop: Shop
    car: Car
    system: System
    recoveries: tuple[RecoveryFacts, ...]
    leak_checks: tuple[LeakCheckFacts, ...]
    evacuations: tuple[EvacuationFacts, ...]
    leak_test: LeakTestFacts | None
    charge: ChargeFactsPrinted | None
    final: FinalFacts | None
    stop: StopFacts | None
    doers: tuple[Doer, ...]
    skipped: tuple[tuple[str, str], ...]  # (stage, "not needed: reason" / "stopped: reason")
    repairs: str
    remarks: tuple[str, ...]  # findings that did not block, said on the paper
    signed: str
    recorded_under: str
    check_url: str
    replaces: str = ""
    practice: bool = False
    layout: int = 1
    since_last: SinceLastFacts | None = None
    rules_looked_at: str = ""  # "" on older papers
    asked: tuple[AskedFacts, ...] = ()
    corrections: tuple[CorrectionFacts, ...] = ()
