"""The facts of one job, as the closing rules see them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from compliance.core.federal.equipment import Approval
from compliance.core.reconcile import Reconciliation
from compliance.core.stages import HoldResult, LeakResult, Outcome, StageKind, UnitKind
from shop.core.house import HouseRules
from shop.core.mass import ZERO, Mass
from shop.core.standing import Standing


@dataclass(frozen=True, slots=True)
class StageFacts:
    """One stage as it stands now: how it was left, by whom, and that person's standing on that day."""

    kind: StageKind
    outcome: Outcome
    reason: str
    at: datetime
    standing: Standing


@dataclass(frozen=True, slots=True)
class LeakCheckSeen:
    at: datetime
    result: LeakResult


@dataclass(frozen=True, slots=True)
class EvacuationSeen:
    at: datetime
    minutes: int
    hold_minutes: int
    result: HoldResult


@dataclass(frozen=True, slots=True)
class RecoverySeen:
    turn: int
    out: Mass
    machine: str
    machine_takes_it: bool
    approval: Approval = Approval.UNKNOWN
    cylinder: str = ""
    cylinder_due: bool = False


@dataclass(frozen=True, slots=True)
class LightCanSeen:
    """A sealed can that was light: "short" from the supplier or "leaked" here, and by how much."""

    can: str
    why: str
    by: Mass


@dataclass(frozen=True, slots=True)
class JobFacts:
    """``reconciliation`` is None when no can was weighed; ``stopped`` says why when the job ends not charged.

    ``uncertified`` names who did a stage without a 609 card; ``wrong_can`` a can of another refrigerant that went in
    and was not yet taken out again, ``wrong_cans`` all of them with refrigerant and mass. ``recorded`` names
    the final readings taken, ``answers`` holds what was answered to each rule of a pack, item by item.
    """

    number: str
    refrigerant: str
    label_known: bool
    stages: Mapping[StageKind, StageFacts]
    recoveries: tuple[RecoverySeen, ...]
    leak_checks: tuple[LeakCheckSeen, ...]
    evacuations: tuple[EvacuationSeen, ...]
    reconciliation: Reconciliation | None
    cans_hanging: tuple[str, ...]
    stopped: str
    remark: str
    rules: HouseRules
    uncertified: Mapping[StageKind, str] = field(default_factory=dict)
    owner_signs: bool = False
    emptied_first: bool = True
    label: Mass | None = None
    taken_out: Mass = ZERO
    repaired_at: datetime | None = None
    light_cans: tuple[LightCanSeen, ...] = ()
    lost_waiting: tuple[tuple[str, Mass], ...] = ()
    wrong_can: str = ""
    wrong_cans: tuple[tuple[str, str, Mass], ...] = ()
    retrofit_lacks: tuple[str, ...] = ()
    model_year: int | None = None
    unit_kind: UnitKind = UnitKind.CAR
    recorded: frozenset[str] = frozenset()
    undecided: tuple[str, ...] = ()  # second entries that nobody has chosen about, in words
    answers: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    @property
    def charged(self) -> bool:
        return not self.stopped and self.reconciliation is not None

    @property
    def leak_unanswered(self) -> bool:
        """The newest leak check found a leak, and no repair was written down since."""
        newest = max(self.leak_checks, key=lambda check: check.at, default=None)
        if newest is None or newest.result is not LeakResult.FOUND:
            return False
        return self.repaired_at is None or self.repaired_at < newest.at

    @property
    def was_done(self) -> frozenset[StageKind]:
        return frozenset(kind for kind, stage in self.stages.items() if stage.outcome is Outcome.DONE)
