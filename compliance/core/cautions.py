"""Which cautions stand at which stage of a job. Their words are in shop.core.cautions."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.stages import Compressor, StageKind
from inventory.core.refrigerants import FLAMMABLE, UNKNOWN
from shop.core import cautions
from shop.core.cautions import Caution

AT: dict[StageKind, tuple[Caution, ...]] = {
    StageKind.RECOVERY: (cautions.GLOVES, cautions.CYLINDER),
    StageKind.LEAK_CHECK: (cautions.NO_VENTING, cautions.NITROGEN),
    StageKind.REPAIR: (cautions.NO_VENTING, cautions.ADDITIVE),
    StageKind.EVACUATION: (cautions.UNDER_VACUUM,),
    StageKind.LEAK_TEST: (cautions.GLOVES, cautions.NO_VENTING, cautions.NITROGEN),
    StageKind.CHARGE: (cautions.GLOVES, cautions.LOW_SIDE, cautions.FAN, cautions.SLOW_CAN),
    StageKind.FINAL_READINGS: (cautions.RUNNING,),
}


def cautions_at(
    kind: StageKind | str,
    refrigerant: str,
    *,
    compressor: str = Compressor.BELT,
    leak_found: bool = False,
) -> tuple[Caution, ...]:
    """What to show at a stage, the hazards of this car first."""
    here = AT.get(StageKind(kind), ())
    return (*_hazards(refrigerant, compressor, leak_found=leak_found), *here) if here else ()


def _hazards(refrigerant: str, compressor: str, *, leak_found: bool) -> Iterator[Caution]:
    if refrigerant in FLAMMABLE:
        yield cautions.FLAME
    if refrigerant == UNKNOWN:
        yield cautions.UNKNOWN_GAS
    if compressor == Compressor.ELECTRIC:
        yield cautions.HIGH_VOLTAGE
    if leak_found:
        yield cautions.RELEASED
