"""Which keys a pack and each kind of rule may have, of which type, and which of them must be there."""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.packs.kinds import Kind, Level, Moment, Severity, Status
from compliance.core.stages import UnitKind
from inventory.core.refrigerants import REFRIGERANTS


@dataclass(frozen=True, slots=True)
class Shape:
    """One key: ``a`` is "text", "day", "years", "grams", "texts"; ``of`` is the closed list of what it may say."""

    a: str
    needed: bool = True
    of: tuple[str, ...] = ()


# "conduct" is how people act; no reading of a job can show it, so nothing looks for it.
GATES = (
    "card-in-force",
    "machine-refrigerant",
    "machine-standard",
    "leak-answered",
    "leak-looked-for",
    "vacuum-pulled",
    "cylinder-retested",
    "model-year-fits",
    "conduct",
)
ANSWERS = ("ok", "fault", "not accessible", "not applicable")
VERDICTS = ("allowed", "needs basis", "barred")  # from the mildest to the strictest
VALUES = ("low side", "high side", "vent temperature", "refrigerant", "mass charged", "leak result", "doer")
RETROFIT = "a car was changed to another refrigerant"
OCCASIONS = (
    RETROFIT,
    "a small can is used",
    "a small can is empty",
    "a disposable cylinder is empty",
    "a car takes a flammable refrigerant",
)
RECORDS = (
    "job papers",
    "cards",
    "facilities",
    "can purchases",
    "can sales",
    "refrigerant sales",
    "disposal statements",
)
CODES = tuple(one.code for one in REFRIGERANTS)

PACK = {
    "id": Shape("text"),
    "edition": Shape("text"),
    "level": Shape("text", of=tuple(Level)),
    "title": Shape("text"),
    "from": Shape("day"),
    "to": Shape("day", needed=False),
    "read_on": Shape("day"),
    "parent": Shape("text", needed=False),
    "note": Shape("text", needed=False),
}
RULE = {
    "code": Shape("text"),
    "kind": Shape("text", of=tuple(str(kind) for kind in Kind)),
    "sentence": Shape("text"),
    "cite": Shape("text"),
    "status": Shape("text", of=tuple(Status)),
    "severity": Shape("text", of=tuple(Severity)),
    "moment": Shape("text", of=tuple(Moment)),
    "read_at": Shape("text", needed=False),
    "read_on": Shape("day", needed=False),
    "from": Shape("day", needed=False),
    "to": Shape("day", needed=False),
    "refrigerants": Shape("texts", needed=False, of=CODES),
    "vehicles": Shape("texts", needed=False, of=tuple(str(kind) for kind in UnitKind)),
    "tightens": Shape("text", needed=False),
}
PARAMS: dict[Kind, dict[str, Shape]] = {
    Kind.FIELD: {"record": Shape("text"), "kept_at": Shape("text")},
    Kind.CHECKLIST: {"items": Shape("texts")},
    Kind.GATE: {"needs": Shape("text", of=GATES)},
    Kind.DISCLOSURE: {"say": Shape("text")},
    Kind.INVOICE_LINE: {"value": Shape("text", of=VALUES)},
    Kind.LABEL: {"when": Shape("text", of=OCCASIONS)},
    Kind.RETENTION: {
        "records": Shape("texts", of=RECORDS),
        "years": Shape("years"),
        "counted_from": Shape("text"),
    },
    Kind.REPORT: {"sent_to": Shape("text"), "when": Shape("text")},
    Kind.SUPPLY: {
        "more_than_g": Shape("grams", needed=False),
        "up_to_g": Shape("grams", needed=False),
        "verdict": Shape("text", of=VERDICTS),
    },
    Kind.ATTRIBUTION: {"belongs_to": Shape("text", of=("technician", "shop"))},
}
