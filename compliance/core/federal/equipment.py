"""Whether a recovery machine meets the standard for a refrigerant and what it does (40 CFR 82.36).

The plate is free text, so only the numbers of the standards in it are looked at. Where it names none nothing is known,
and that is said as unknown.
"""

from __future__ import annotations

import re
from datetime import date
from enum import StrEnum

# 82.36(a), read; J2843, J2851, J3030 since 86 FR 15587 (April 23, 2021), read. What recycles also recovers.
RECYCLES = {"R-134a": {"J2788", "J3030"}, "R-1234yf": {"J2843", "J3030"}}
RECOVERS_ONLY = {"R-134a": {"J2810", "J2851"}, "R-1234yf": {"J2851"}}
OLDER = {"R-134a": {"J2210", "J1732"}}  # replaced by J2788 and J2810 in 2008
J2788_FROM, J2810_FROM = date(2008, 1, 1), date(2008, 10, 31)  # 82.36(a), read
EXCUSED_BEFORE = date(1996, 3, 6)  # 82.36(b)(1), read: R-134a, others, and machines for two refrigerants
STANDARD = re.compile(r"\bJ\s?-?(\d{4})\b", re.IGNORECASE)
RECOVER_ONLY = "recover only"


class Approval(StrEnum):
    MEETS = "meets it"
    EXCUSED = "excused by its age"
    OLD = "of an older standard"
    FALLS_SHORT = "does not meet it"
    UNKNOWN = "unknown"


def standards_on(plate: str) -> frozenset[str]:
    """The numbers of SAE standards that a plate names: "SAE J2788, tested by ..." gives J2788."""
    return frozenset(f"J{number}" for number in STANDARD.findall(plate))


def approval(refrigerant: str, does: str, plate: str, bought: date) -> Approval:
    """How a machine stands for recovering this refrigerant, by its plate and the day it was bought."""
    named = standards_on(plate)
    enough = RECYCLES.get(refrigerant, set()) | (
        RECOVERS_ONLY.get(refrigerant, set()) if does == RECOVER_ONLY else set()
    )
    if named & enough:
        return Approval.MEETS
    if bought < EXCUSED_BEFORE:
        return Approval.EXCUSED
    if named & OLDER.get(refrigerant, set()):
        since = J2810_FROM if does == RECOVER_ONLY else J2788_FROM
        return Approval.OLD if bought < since else Approval.FALLS_SHORT
    if not named or not enough:
        return Approval.UNKNOWN
    return Approval.FALLS_SHORT
