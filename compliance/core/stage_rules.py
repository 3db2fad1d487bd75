"""What the fields of a stage are asked, as rows of data (shop/core/rule_rows.py says how to read them).

Facts are the fields of the stage's form: text as typed, instants and ``now`` in ms, minutes as whole numbers; before
and after of a recovery in µg, beside tare, tare_text, tare_unit and expected (µg) of its cylinder. What rests on the
air of the place, on properties of a refrigerant or on a cylinder's room is asked by the server only.
"""

from __future__ import annotations

from shop.core.mass import grams
from shop.core.phrase import phrase
from shop.core.rule_rows import BLOCKS, Row, Terms

STAMP_ROUNDING = grams(50)  # tares are stamped to a tenth of a pound
UNIT_SLIP = grams(500)  # a cylinder that jumps by more between two weighings was read in another unit
MOST_RECOVERED = grams(5000)
FOUR_DAYS = f"{4 * 24 * 60 * 60 * 1000 - 1}"  # ms
COLDEST, HOTTEST = "233.15", "353.15"  # K: what a thermometer in a bay shows
MOST_PRESSURE = "5000000"  # Pa; beyond any manifold gauge

TERMS: Terms = {
    "out": ("-", "after", "before"),
    "waited": ("+", ("/", ("-", "now", "stopped_at"), "60000"), "1"),
    "held": ("is", "result", "held", "did not hold"),
}
RECOVERY = (
    Row(
        "cylinder-lighter",
        BLOCKS,
        "after",
        ("<", "out", "0"),
        phrase("The cylinder got lighter. Is it the right cylinder, and are both numbers in the same unit?"),
        {},
    ),
    Row(
        "gauge-empty",
        BLOCKS,
        "gauge",
        ("and", ("same", "out", "0"), ("not", ("known", "gauge"))),
        phrase("Nothing came out: type what the gauge showed before, with its unit."),
        {},
    ),
    Row(
        "recovered-absurd",
        BLOCKS,
        "after",
        (">", "out", f"{MOST_RECOVERED.ug}"),
        phrase("{out} g out of one car is more than any holds. Check both numbers and the unit."),
        {"out": ("g", "out")},
    ),
    Row(
        "started-later",
        BLOCKS,
        "started_at",
        (">", "started_at", "now"),
        phrase("The start lies after now. Check the clock times."),
        {},
    ),
    Row(
        "temperature-unread",
        BLOCKS,
        "bay",
        ("and", ("known", "bay"), ("not", ("known", ("kelvin", "bay")))),
        phrase("“{bay}” is no temperature. Type the number in °F or °C."),
        {"bay": "bay"},
    ),
)
CYLINDER = (
    Row(
        "below-tare",
        BLOCKS,
        "before",
        ("<", ("+", "before", f"{STAMP_ROUNDING.ug}"), "tare"),
        phrase("{code} weighs less than its stamped tare ({tare_text} {tare_unit}). Check it."),
        {"code": "cylinder", "tare_text": "tare_text", "tare_unit": "tare_unit"},
    ),
    Row(
        "cylinder-unexpected",
        BLOCKS,
        "before",
        (">", ("abs", ("-", "before", "expected")), f"{UNIT_SLIP.ug}"),
        phrase("{code} should weigh about {expected} g. Which unit does the scale show?"),
        {"code": "cylinder", "expected": ("g", "expected")},
    ),
)
EVACUATION = (
    Row(
        "stopped-before-start",
        BLOCKS,
        "stopped_at",
        ("<", "stopped_at", "started_at"),
        phrase("The pump stopped before it started. Check both clock times and their days."),
        {},
    ),
    Row(
        "stopped-later",
        BLOCKS,
        "stopped_at",
        (">", "stopped_at", "now"),
        phrase("The stop lies after now. Check the clock times."),
        {},
    ),
    Row(
        "evacuation-absurd",
        BLOCKS,
        "started_at",
        (">", ("-", "stopped_at", "started_at"), FOUR_DAYS),
        phrase("More than four days? Check both days."),
        {},
    ),
    Row(
        "hold-too-long",
        BLOCKS,
        "hold_minutes",
        ("and", (">", "hold_minutes", "waited"), ("not", ("<", "waited", "0"))),
        phrase("The hold is longer than the {minutes} min since the pump stopped. Check both."),
        {"minutes": ("floor", "waited")},
    ),
    Row(
        "deepest-empty",
        BLOCKS,
        "deepest",
        ("not", ("known", "deepest")),
        phrase("Type the deepest reading the gauge showed."),
        {},
    ),
    Row(
        "hold-incomplete",
        BLOCKS,
        "hold_minutes",
        ("and", "held", ("or", ("<", "hold_minutes", "1"), ("not", ("known", "hold_from", "hold_to")))),
        phrase("A hold needs its minutes and the reading at both ends. Or choose: no hold taken."),
        {},
    ),
)
HOLD = (
    Row(
        "hold-backwards",
        BLOCKS,
        "hold_stopped_at",
        ("<", "hold_stopped_at", "hold_started_at"),
        phrase("The hold ended before it began. Check both clock times and their days."),
        {},
    ),
    Row(
        "hold-later",
        BLOCKS,
        "hold_stopped_at",
        (">", "hold_stopped_at", "now"),
        phrase("The hold ends after now. Check the clock times."),
        {},
    ),
    Row(
        "hold-absurd",
        BLOCKS,
        "hold_started_at",
        (">", ("-", "hold_stopped_at", "hold_started_at"), FOUR_DAYS),
        phrase("More than four days? Check both days."),
        {},
    ),
)
LEAK_TEST = (
    Row(
        "minutes-absurd",
        BLOCKS,
        "minutes",
        ("or", ("<", "minutes", "0"), (">", "minutes", "2880")),
        phrase("Type the minutes of the hold, up to two days."),
        {},
    ),
)
_NO_AIR = phrase("“{text}” is no air temperature. Type the number in °F or °C, for example 46.")
_NO_PRESSURE = phrase("“{text}” is no pressure of a manifold gauge. Type the number in psi, kPa or bar.")
FINAL_READINGS = (
    *(
        Row(
            "temperature-unread",
            BLOCKS,
            name,
            (
                "and",
                ("known", name),
                (
                    "or",
                    ("not", ("known", ("kelvin", name))),
                    ("<", ("kelvin", name), COLDEST),
                    (">", ("kelvin", name), HOTTEST),
                ),
            ),
            _NO_AIR,
            {"text": name},
        )
        for name in ("vent", "inlet", "outdoor")
    ),
    *(
        Row(
            "pressure-unread",
            BLOCKS,
            name,
            (
                "and",
                ("known", name),
                (
                    "or",
                    ("not", ("known", ("pascal", name))),
                    ("is", ("counts", name), "absolute"),
                    (">", ("abs", ("pascal", name)), MOST_PRESSURE),
                ),
            ),
            _NO_PRESSURE,
            {"text": name},
        )
        for name in ("low_side", "high_side")
    ),
    Row(
        "humidity-unread",
        BLOCKS,
        "humidity",
        (
            "and",
            ("known", "humidity"),
            ("not", ("or", ("is", ("unit-of", "humidity"), "%", "% rh"), ("known", ("bulb", "humidity")))),
        ),
        phrase("“{text}” is no humidity. Type it in % RH, or as wet bulb or dew point."),
        {"text": "humidity"},
    ),
)
STAGES = {
    "recovery": (*RECOVERY, *CYLINDER),
    "evacuation": (*EVACUATION, *HOLD),
    "leak-test": (*HOLD, *LEAK_TEST),
    "final-readings": FINAL_READINGS,
}
