"""The cautions, each worded once; pages show them at the step where the hand is. None of them makes anything safe.

``basis`` says where a caution comes from; "from memory" where no text was read.
"""

from __future__ import annotations

from dataclasses import dataclass

from shop.core.phrase import phrase

DEFER = phrase(
    "Follow the label, the safety data sheet, the vehicle maker's procedure and your local code."
    " Licensed or certified people only."
)
MEMORY = phrase("from memory")
MAKERS = phrase("maker service precautions")


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazardous one is shown in full each time; an ordinary one folds for who has signed its step three times."""

    text: str
    basis: str
    hazard: bool = False


GLOVES = Caution(phrase("Goggles and gloves. Liquid refrigerant freezes skin and eyes at once."), MAKERS)
SLOW_CAN = Caution(
    phrase(
        "A slow can: warm water only, never over 104 °F (40 °C) or the can's own limit if lower. Never a flame."
    ),
    MAKERS,
)
LOW_SIDE = Caution(
    phrase("Low side only, unless the maker says otherwise. A can on the high side can burst."), MEMORY
)
FAN = Caution(phrase("Keep can and hoses off belts, fans and hot parts. Stand clear of the fan."), MEMORY)
FLAME = Caution(
    phrase("FLAMMABLE. No flame, sparks or smoking; air moving; equipment made for this refrigerant."),
    phrase("40 CFR 82 Subpart G use conditions"),
    hazard=True,
)
RELEASED = Caution(
    phrase(
        "Stop. Air the bay, no flame: heated refrigerant gives poisonous acid gases. It is heavier than air, keep out"
        " of pits. Leave if you feel light-headed."
    ),
    phrase("technician training; from memory"),
    hazard=True,
)
NITROGEN = Caution(
    phrase("Nitrogen: dry, through a regulator and relief only. Never oxygen or shop air."), MEMORY
)
NO_VENTING = Caution(
    phrase("Do not vent to find or to fix a leak. Recover first."), phrase("40 CFR 82.154(a)")
)
HIGH_VOLTAGE = Caution(
    phrase(
        "High voltage. Only people trained on this vehicle. Its own oil only: wrong oil can make the compressor's"
        " case live."
    ),
    MEMORY,
    hazard=True,
)
MAYBE_HIGH_VOLTAGE = Caution(
    phrase("Hybrid or electric: high voltage. Only people trained on this vehicle, and only its own oil."),
    MEMORY,
    hazard=True,
)
CYLINDER = Caution(
    phrase("Named refrigerant only, into a cylinder made for it, in date, not over its limit."), MEMORY
)
SHIPPING = Caution(
    phrase(
        "Only somebody trained for hazardous materials prepares and signs the shipping paper. Valves capped, cylinders"
        " upright and tied down."
    ),
    MEMORY,
)
UNKNOWN_GAS = Caution(
    phrase("Unknown gas: its own equipment, its own cylinder. It may burn."),
    phrase("EPA guidance on contaminated refrigerant; from memory"),
    hazard=True,
)
DAMAGED_CAN = Caution(
    phrase("Upright, outside, in the shade, away from doors and drains. Not into a trash truck."),
    MEMORY,
    hazard=True,
)
CABINET = Caution(
    phrase(
        "Cool, dry, below label temperature; cylinders chained; nothing that ignites. Ask the fire marshal how much may"
        " stand here."
    ),
    MEMORY,
)
EMPTIES = Caution(
    phrase(
        "Take the heel out by recovery before a can is thrown away. Pierce or crush only where your state and your"
        " hauler allow it."
    ),
    phrase("84 FR 67202; from memory"),
)
ADDITIVE = Caution(
    phrase(
        "Sealant or additive: write it down, the certificate tells the next shop. Sealant can ruin machines."
    ),
    MEMORY,
)
UNDER_VACUUM = Caution(
    phrase("Left overnight: hang a tag on the wheel. System under vacuum, do not start."), MEMORY
)
RUNNING = Caution(phrase("Caps on. Run only with guards in place; long sleeves away from the belt."), MEMORY)
STRICTER = Caution(
    phrase("Your state or city may be stricter. What this tool does not say is not a permission."), MEMORY
)
