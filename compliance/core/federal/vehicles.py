"""The model year that a VIN tells, and what it says about the refrigerant of a light vehicle."""

from __future__ import annotations

YEAR_CODES = (
    "ABCDEFGHJKLMNPRSTVWXY123456789"  # position 10, a cycle of 30 years; three second-hand sources agree
)
FIRST_CYCLE, SECOND_CYCLE = 1980, 2010
LAST_134A_YEAR = 2020  # 40 CFR 82 Subpart G App. B, read in part: for new cars and light trucks


def model_year(vin: str) -> int | None:
    """Of a light vehicle: a digit in position 7 means 1980 to 2009, a letter 2010 to 2039 (49 CFR 565.15(b), read).

    None when the VIN does not have 17 characters or its position 10 is no year code.
    """
    if len(vin) != 17 or vin[9] not in YEAR_CODES:
        return None
    first = FIRST_CYCLE if vin[6].isdigit() else SECOND_CYCLE
    return first + YEAR_CODES.index(vin[9])


def look_at_the_label(refrigerant: str, year: int | None, *, light: bool = True) -> bool:
    """R-134a in a light vehicle of 2021 or later: look at the label once more. Never a reason to stop."""
    return refrigerant == "R-134a" and light and year is not None and year > LAST_134A_YEAR
