"""The cautions, each worded once, shown at the step where the hand is. None of them makes anything safe."""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.stages import StageKind
from inventory.core.refrigerants import FLAMMABLE
from shop.core.phrase import phrase

DEFER = phrase(
    "Follow the label, the safety data sheet, the vehicle maker's procedure and your local code."
    " Licensed or certified people only."
)


@dataclass(frozen=True, slots=True)
class Caution:
    """``basis`` says where it comes from; "from memory" where no text was read."""

    text: str
    basis: str


GLOVES = Caution(
    phrase("Goggles and gloves. Liquid refrigerant freezes skin and eyes at once."),
    phrase("maker service precautions"),
)
FLAME = Caution(
    phrase("FLAMMABLE. No flame, sparks or smoking; air moving; equipment made for this refrigerant."),
    phrase("40 CFR 82 Subpart G use conditions"),
)
AT = {
    StageKind.RECOVERY: (
        GLOVES,
        Caution(
            phrase("Named refrigerant only, into a cylinder made for it, in date, not over its limit."),
            phrase("from memory"),
        ),
    ),
    StageKind.LEAK_CHECK: (
        Caution(phrase("Do not vent to find or to fix a leak. Recover first."), phrase("40 CFR 82.154(a)")),
        Caution(
            phrase("Nitrogen: dry, through a regulator and relief only. Never oxygen or shop air."),
            phrase("from memory"),
        ),
    ),
    StageKind.EVACUATION: (
        Caution(
            phrase("Left overnight: hang a tag on the wheel. System under vacuum, do not start."),
            phrase("from memory"),
        ),
    ),
    StageKind.LEAK_TEST: (GLOVES,),
    StageKind.CHARGE: (
        GLOVES,
        Caution(
            phrase("Low side only, unless the maker says otherwise. A can on the high side can burst."),
            phrase("from memory"),
        ),
        Caution(
            phrase("Keep can and hoses off belts, fans and hot parts. Stand clear of the fan."),
            phrase("from memory"),
        ),
        Caution(
            phrase(
                "A slow can: warm water only, never over 104 °F (40 °C) or the can's own limit if lower. Never a"
                " flame."
            ),
            phrase("maker service precautions"),
        ),
    ),
    StageKind.FINAL_READINGS: (
        Caution(
            phrase("Caps on. Run only with guards in place; long sleeves away from the belt."),
            phrase("from memory"),
        ),
    ),
}


def cautions_at(kind: StageKind | str, refrigerant: str) -> tuple[Caution, ...]:
    """What to show at a stage; a flammable refrigerant's caution comes first."""
    here = AT.get(StageKind(kind), ())
    return (FLAME, *here) if here and refrigerant in FLAMMABLE else here
