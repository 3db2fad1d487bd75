"""What a reading of a can on a car is asked beside the can itself, as rows of data (see shop/core/rule_rows.py).

Facts of ``GATES`` and ``SAID``: can; on_job and on (it has a ticket on this job; it hangs on the car); moment
("before", "leak test", "after"); origin; seal (nobody has weighed it yet); said_at, earlier and now (ms; said_at when
it was read earlier, earlier when the can's last ticket was written or the car came). Facts of ``BESIDE``: those of the
number typed; in_car (what is in the car if it is kept), label, tolerance, stop (µg; in_car is not known where a label
or an earlier weight is missing); moment; other, other_since and other_reading of another can on this car; drawn since
the reading before on this car.
"""

from __future__ import annotations

from inventory.core.can import COLD_WET
from inventory.core.weighing_rules import said
from shop.core.mass import grams
from shop.core.phrase import phrase
from shop.core.rule_rows import BLOCKS, WARNS, Row, Terms

SLACK = grams(20)  # without a tolerance on the label the tool asks from here on (its own choice)

TERMS: Terms = {
    "slack": ("max", "tolerance", said(SLACK)),
    "over": (">", "in_car", ("+", "label", "slack")),
    "meant": ("swapped", "stop", ("*", "slack", "slack")),
    "before": ("is", "moment", "before"),
}
GATES = (
    Row(
        "no-before",
        BLOCKS,
        "moment",
        ("not", ("or", "on_job", "before")),
        phrase("{can} has no weight from before on this job. Weigh it before it goes on the car."),
        {"can": "can"},
    ),
    Row(
        "before-again",
        BLOCKS,
        "what",
        ("and", "on", "before"),
        phrase("{can} is on the car already. Say what this reading is: after."),
        {"can": "can"},
    ),
    Row(
        "can-off-the-car",
        BLOCKS,
        "container",
        ("and", "on_job", ("not", ("or", "on", "before"))),
        phrase(
            "{can} is off the car and weighed. To put that weight right, use Type again beside its ticket."
        ),
        {"can": "can"},
    ),
)
SAID = (
    Row(
        "label-of-open-can",
        BLOCKS,
        "reading",
        ("and", ("is", "origin", "from label"), ("not", ("and", "before", "seal"))),
        phrase("Only a sealed can has its weight on its label. Weigh {can}."),
        {"can": "can"},
    ),
    Row(
        "read-later",
        BLOCKS,
        "read_at",
        (">", "said_at", "now"),
        phrase("That time lies after now. Check the clock."),
        {},
    ),
    Row(
        "read-too-early",
        BLOCKS,
        "read_at",
        ("<", "said_at", "earlier"),
        phrase("That is before the last ticket of {can}, or before the car came. Check the clock."),
        {"can": "can"},
    ),
)
BESIDE = (
    Row(
        "overcharge",
        WARNS,
        "reading",
        ("and", "over", ("known", "meant")),
        phrase(
            "That puts {in_car} g in a {label} g car. If the scale says {reading}, this is an overshoot. If it says"
            " {meant} {unit}, fix the number."
        ),
        {
            "in_car": ("g", "in_car"),
            "label": ("g", "label"),
            "reading": "reading",
            "meant": "meant",
            "unit": "unit",
        },
        "over",
    ),
    Row(
        "overcharge",
        WARNS,
        "reading",
        "over",
        phrase(
            "That puts {in_car} g in a {label} g car. Read the scale again. If it says {reading}, this is an"
            " overshoot: keep it, and see what to do next."
        ),
        {"in_car": ("g", "in_car"), "label": ("g", "label"), "reading": "reading"},
        "over",
    ),
    Row(
        "other-can-on",
        WARNS,
        "container",
        ("and", "before", ("known", "other")),
        phrase(
            "This is {can}. {on_it} is on the car since {since:%H:%M}, last read {last}. Weigh {on_it} off first, or"
            " keep both on."
        ),
        {"can": "can", "on_it": "other", "since": "other_since", "last": "other_reading"},
    ),
    COLD_WET,
)
