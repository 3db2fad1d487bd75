"""The stages of a job, in the order of the work."""

from __future__ import annotations

from enum import StrEnum

from shop.core.phrase import phrase


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
        return _LABELS[self]


class Outcome(StrEnum):
    DONE = phrase("done")
    NOT_NEEDED = phrase("not needed")
    STOPPED = phrase("stopped")


class LeakResult(StrEnum):
    NONE_SEEN = phrase("no leak seen")
    FOUND = phrase("leak found")
    NOT_TESTED = phrase("not tested")


class HoldResult(StrEnum):
    HELD = phrase("held")
    ROSE = phrase("did not hold")
    NOT_TAKEN = phrase("no hold taken")


class PressureResult(StrEnum):
    STEADY = phrase("no change seen on the gauge")
    FELL = phrase("pressure fell")
    NOT_WATCHED = phrase("not watched")


class LabelSource(StrEnum):
    UNDER_HOOD = phrase("under-hood label")
    SERVICE_DATA = phrase("service information")
    OTHER = phrase("other source")


class Compressor(StrEnum):
    """What drives it. An electric one is a shock hazard, and wrong oil can make its case live (from memory)."""

    BELT = phrase("belt")
    ELECTRIC = phrase("electric (high voltage)")


class UnitKind(StrEnum):
    """40 CFR 82.32 speaks of motor vehicle air conditioners; MVAC-like appliances (40 CFR 82.152) are farm and other
    off-road machines."""

    CAR = phrase("car or light truck")
    BUS = phrase("bus or roof unit")
    OFF_ROAD = phrase("farm or off-road machine")


class Identified(StrEnum):
    """What a refrigerant identifier said before anything was taken out."""

    NOT_USED = phrase("identifier not used")
    AS_LABEL = phrase("as the label says")
    AIR = phrase("air in it")
    MIXED = phrase("mixed or unknown")
    SEALANT = phrase("sealant found")


_LABELS = {
    StageKind.CHECK_IN: phrase("Check-in"),
    StageKind.RECOVERY: phrase("Recovery"),
    StageKind.LEAK_CHECK: phrase("Leak check"),
    StageKind.REPAIR: phrase("Repair"),
    StageKind.EVACUATION: phrase("Evacuation"),
    StageKind.LEAK_TEST: phrase("Leak-test charge"),
    StageKind.CHARGE: phrase("Charge"),
    StageKind.FINAL_READINGS: phrase("Final readings"),
}
LEAK_METHODS = (
    phrase("eyes"),
    phrase("electronic detector"),
    phrase("dye"),
    phrase("soap solution"),
    phrase("nitrogen"),
    phrase("vacuum hold"),
)
LEAK_PLACES = (
    phrase("compressor"),
    phrase("hoses"),
    phrase("condenser"),
    phrase("pressure switch"),
    phrase("receiver or accumulator"),
    phrase("expansion device"),
    phrase("service ports"),
    phrase("evaporator drain"),
)
LEAK_SIZES = (phrase("seep"), phrase("steady"), phrase("heavy"))
AIR_MODES = (phrase("recirculate"), phrase("fresh air"))
BLOWER_SPEEDS = (phrase("high"), phrase("medium"), phrase("low"))
NEED_A_CARD = (
    StageKind.RECOVERY,
    StageKind.LEAK_CHECK,
    StageKind.REPAIR,
    StageKind.EVACUATION,
    StageKind.LEAK_TEST,
    StageKind.CHARGE,
)
