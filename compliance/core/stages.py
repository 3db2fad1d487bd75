"""The stages of a job, in the order of the work."""

from __future__ import annotations

from enum import StrEnum


class StageKind(StrEnum):
    CHECK_IN = "check-in"
    RECOVERY = "recovery"
    LEAK_CHECK = "leak-check"
    REPAIR = "repair"
    EVACUATION = "evacuation"
    LEAK_TEST = "leak-test"
    CHARGE = "charge"
    FINAL_READINGS = "final-readings"

    @property
    def label(self) -> str:
        return _LABELS.get(self, self.value.replace("-", " ").capitalize())


class Outcome(StrEnum):
    DONE = "done"
    NOT_NEEDED = "not needed"
    STOPPED = "stopped"


class LeakResult(StrEnum):
    NONE_SEEN = "no leak seen"
    FOUND = "leak found"
    NOT_TESTED = "not tested"


class HoldResult(StrEnum):
    HELD = "held"
    ROSE = "did not hold"
    NOT_TAKEN = "no hold taken"


class PressureResult(StrEnum):
    STEADY = "no change seen on the gauge"
    FELL = "pressure fell"
    NOT_WATCHED = "not watched"


class LabelSource(StrEnum):
    UNDER_HOOD = "under-hood label"
    SERVICE_DATA = "service information"
    OTHER = "other source"


_LABELS = {
    StageKind.CHECK_IN: "Check-in",
    StageKind.LEAK_TEST: "Leak-test charge",
}
LEAK_METHODS = ("eyes", "electronic detector", "dye", "soap solution", "nitrogen", "vacuum hold")
LEAK_PLACES = (
    "compressor",
    "hoses",
    "condenser",
    "pressure switch",
    "receiver or accumulator",
    "expansion device",
    "service ports",
    "evaporator drain",
)
NEED_A_CARD = (
    StageKind.RECOVERY,
    StageKind.LEAK_CHECK,
    StageKind.REPAIR,
    StageKind.EVACUATION,
    StageKind.LEAK_TEST,
    StageKind.CHARGE,
)
