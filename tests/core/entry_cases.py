"""fixtures/entry_cases.csv, read: what a page knew, the tickets that wait, one more entry, and what is expected.

K-0312 and K-0313 are sealed cans of 340 g in a shell of 126 g, K-0320 one of 340 g in 112 g. K-0400 was weighed at
293 g on another day, K-0401 at 10.3 oz, K-0402 at 411 g with its tap, K-0403 taken as 466 g from its label. The car
came at 13:00, it is 14:02, and the hoses keep 6 g. fixtures/next_can_cases.csv takes the same cans; what they hold
and when they came stands in ``ON_THE_SHELF``, and K-0313 and K-0400 keep 4 g.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

from shop.core.mass import Mass, Unit
from shop.core.reading import read_mass

CASES = Path(__file__).parents[2] / "fixtures" / "entry_cases.csv"
GRAM, MINUTE = 1_000_000, 60_000
MIDNIGHT = 1_784_844_000_000
SCALES = {
    "g": {"unit": "g", "division": GRAM},
    "2 g": {"unit": "g", "division": 2 * GRAM},
    "kg": {"unit": "kg", "division": GRAM},
    "oz": {"unit": "oz", "division": Mass.of("0.1", Unit.OZ).ug},
    "lb+oz": {"unit": "lb+oz", "division": Mass.of("0.1", Unit.OZ).ug},
}
ON_THE_SHELF = {
    "K-0312": (340, 0, "2026-03-09"),
    "K-0313": (340, 4, "2026-03-02"),
    "K-0320": (340, 0, "2026-03-09"),
    "K-0400": (167, 4, "2026-02-01"),
    "K-0401": (166, 0, "2026-01-15"),
    "K-0402": (120, 0, "2026-02-01"),
    "K-0403": (340, 0, "2026-03-02"),
}
STYLES = {"tap": "can with tap", "zeroed": "on the scale, hose zeroed"}
ENTRY = re.compile(r"(?P<can>K-\d+) (?P<what>[a-z-]+) ?(?P<reading>[^\[]*)(?:\[(?P<how>[^]]*)\])?")


def rows(cases: Path = CASES) -> list[dict[str, str]]:
    with cases.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def clock(text: str) -> int:
    hours, minutes = text.split(":")
    return MIDNIGHT + (int(hours) * 60 + int(minutes)) * MINUTE


def sealed(shell: int = 126) -> dict[str, Any]:
    return {"kind": [340 * GRAM, shell * GRAM, 4 * GRAM], "on_job": False, "on": False, "seal": True}


def opened(text: str, unit: str = "g", style: str = "bare can", origin: str = "weighed") -> dict[str, Any]:
    reading, _ = read_mass(text, Unit(unit))
    assert reading is not None
    last = {
        "gross": reading.mass.ug,
        "division": SCALES[unit]["division"],
        "style": style,
        "origin": origin,
        "text": text,
        "unit": unit,
        "shows": unit,
        "at": clock("09:00"),
        "clock": "09:00",
    }
    return sealed() | {"seal": False, "last": last}


def context(label: str = "500 g ± 20 g") -> dict[str, Any]:
    """What the page knew."""
    charge, tolerance = re.findall(r"\d+", label) if label else (None, 0)
    cans = {
        "K-0312": sealed(),
        "K-0313": sealed(),
        "K-0320": sealed(112),
        "K-0400": opened("293"),
        "K-0401": opened("10.3", "oz"),
        "K-0402": opened("411", style="can with tap"),
        "K-0403": opened("466", origin="from label"),
    }
    for code, (left, heel, came) in ON_THE_SHELF.items():
        cans[code] |= {"left": left * GRAM, "heel": heel * GRAM, "came": came}
    return {
        "label": int(charge) * GRAM if charge is not None else None,
        "tolerance": int(tolerance) * GRAM,
        "hoses": 6 * GRAM,
        "assumed": True,
        "gone": 0,
        "came": clock("13:00"),
        "now": clock("14:02"),
        "scales": SCALES,
        "cans": cans,
    }


def entry(text: str, scale: str) -> dict[str, Any]:
    """One entry such as "K-0312 off 300 [tap]"."""
    match = ENTRY.fullmatch(text.strip())
    assert match is not None, text
    how = match["how"] or ""
    return {
        "container": match["can"],
        "what": match["what"].replace("-", " "),
        "reading": match["reading"].strip(),
        "scale": scale,
        "style": STYLES.get(how, "bare can"),
        "from_label": how == "label",
        "said_at": clock(how[3:]) if how.startswith("at ") else None,
        "at": clock("13:30"),
        "clock": "13:30",
    }


def pile(row: dict[str, str]) -> list[dict[str, Any]]:
    return [entry(one, row.get("scale", "g")) for one in row["pile"].split(";") if one.strip()]


def told_takes(takes: list[dict[str, Any]]) -> str:
    """The plan as the cases write it, in whole grams."""
    said = [(one, (2 * int(one["weighs"]) + GRAM) // (2 * GRAM), int(one["take"])) for one in takes]
    return "; ".join(
        f"{one['code']} {(2 * take + GRAM) // (2 * GRAM)} at {weighs}{' all' * one['empties']}"
        for one, weighs, take in said
    )


NEXT_CAN_CASES = CASES.with_name("next_can_cases.csv")
STAGE_CASES = CASES.with_name("stage_cases.csv")
DAY = 24 * 60 * MINUTE


def stage_rows() -> list[dict[str, str]]:
    return rows(STAGE_CASES)


def stage_context() -> dict[str, Any]:
    """RC-02 weighed 14,300 g last and has a tare of 8,000 g; RC-03 is empty at its stamped 12,200 g."""

    def cylinder(code: str, tare: int, expected: int) -> dict[str, Any]:
        said = {"cylinder": code, "tare": tare * GRAM, "tare_text": f"{tare}", "tare_unit": "g"}
        return {**said, "expected": expected * GRAM}

    return {
        "now": clock("14:02"),
        "scales": SCALES,
        "cylinders": {"RC-02": cylinder("RC-02", 8000, 14300), "RC-03": cylinder("RC-03", 12200, 12200)},
    }


def stage_fields(text: str) -> dict[str, Any]:
    """Fields such as "started_at=13:10; deepest=29.2 inHg"; "-4 14:03" is four days earlier."""
    fields: dict[str, Any] = {}
    for one in text.split(";"):
        name, _, said = one.strip().partition("=")
        if name.endswith("_at"):
            days, _, at = said.rpartition(" ")
            fields[name] = clock(at) + int(days or 0) * DAY
        else:
            fields[name] = int(said) if name.endswith("minutes") else said
    return fields
