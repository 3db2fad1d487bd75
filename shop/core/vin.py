"""Vehicle identification numbers: the check digit of 49 CFR 565.15(c), as a warning only.

It binds vehicles made for North America since 1981; a number from elsewhere fails it lawfully.
"""

from __future__ import annotations

from shop.core.findings import Finding, warned
from shop.core.phrase import phrase

WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
VALUES = {
    letter: int(value)
    for value, letters in zip(
        "123456789", ("AJ", "BKS", "CLT", "DMU", "ENV", "FW", "GPX", "HY", "RZ"), strict=True
    )
    for letter in letters
}
VALUES |= {str(digit): digit for digit in range(10)}
LIKELY = {"O": "0", "I": "1", "Q": "0"}


def normalised(vin: str) -> str:
    """Upper case, without blanks and hyphens. Letters are not changed: that is only suggested."""
    return vin.upper().replace(" ", "").replace("-", "")


def check_digit(vin: str) -> str:
    """The digit (or X) that position 9 should hold, for 17 characters without I, O, Q."""
    rest = (
        sum(VALUES[character] * weight for character, weight in zip(vin, WEIGHTS, strict=True) if weight) % 11
    )
    return "X" if rest == 10 else str(rest)


def vin_problems(vin: str) -> list[Finding]:
    """What looks wrong with a VIN; nothing when it is empty. Warnings only."""
    vin = normalised(vin)
    if not vin:
        return []
    bad = sorted({character for character in vin if character not in VALUES})
    if bad:
        meant = ", ".join(f"{one} (perhaps {LIKELY[one]})" if one in LIKELY else one for one in bad)
        return [
            warned(
                "vin-letter",
                phrase("A VIN has no {meant}. Read it again, or keep it as it is on the car.", meant=meant),
                "vin",
            )
        ]
    if len(vin) != 17:
        sentence = phrase(
            "This VIN has {vin} characters, not 17. Read it again, or keep it: older cars have fewer.",
            vin=len(vin),
        )
        return [warned("vin-length", sentence, "vin")]
    if len(set(vin)) == 1:
        return [
            warned(
                "vin-all-same", phrase("Seventeen equal characters are nobody's VIN. Read it again."), "vin"
            )
        ]
    if check_digit(vin) != vin[8]:
        sentence = phrase(
            "The VIN's check digit (position 9) is {vin} and should be {should}. Read it again, or keep it as"
            " it is on the car.",
            vin=vin[8],
            should=check_digit(vin),
        )
        return [warned("vin-check-digit", sentence, "vin", "49 CFR 565.15(c)")]
    return []
