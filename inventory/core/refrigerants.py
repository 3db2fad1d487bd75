"""The closed list of refrigerants a small-can shop charges, with sources."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RefrigerantFacts:
    """``flammable`` puts the word on the tag and the caution at the step."""

    code: str
    flammable: bool
    source: str


UNKNOWN = "unknown"  # what an identifier calls mixed or cannot name: it goes into a cylinder of its own
REFRIGERANTS = (
    RefrigerantFacts("R-134a", flammable=False, source="40 CFR 82 Subpart G App. D; 82.36(a)"),
    RefrigerantFacts("R-1234yf", flammable=True, source="40 CFR 82 Subpart G App. B; 82.36(a)"),
    RefrigerantFacts("R-152a", flammable=True, source="40 CFR 82 Subpart G App. B"),
    RefrigerantFacts(UNKNOWN, flammable=False, source="EPA guidance on contaminated refrigerant"),
)
FLAMMABLE = frozenset(one.code for one in REFRIGERANTS if one.flammable)
OUTSIDE = (
    "supplier",
    "vehicles",
    "hoses",
    "air",
    "facility",
    "fill difference",
    "unexplained",
    "before the book",
)
