"""What a weigh ticket of a can is asked, as rows of data (shop/core/rule_rows.py says how to read them).

Facts: can; number, unit, reading (as typed on the scale), gross, division, style, origin, places (decimals that the
scale shows); net, shell, spread (µg) of its kind; before, before_division, before_style, before_origin, before_reading
of the can's ticket before this one; first (that ticket comes from another day or job); sealed; since (when the can
came off this car, if it did). K = 3 standard uncertainties of a difference of two readings on one display, u = d/√6
(GUM F.2.2.1 for each); squares of them are exact, so squares are compared.
"""

from __future__ import annotations

from inventory.core.shell import SPREAD_G
from shop.core.mass import Mass, Unit, grams
from shop.core.phrase import phrase
from shop.core.rule_rows import BLOCKS, NOTE, WARNS, Row, Terms

K = 3
# The tool's own choices, in this order: what frost or water can add; what attached tap and hose can add; a sealed can
# that is lighter than this is asked about; how far a can may be filled above its label; slack of a unit slip, and how
# far off a reading must be for one.
FROST = grams(3)
ATTACHED = grams(250)
SEALED_LIGHT = grams(10)
FILL_ALLOWANCE, RATIO_SLACK, FAR_OFF = 0.02, 0.03, 0.5
LABEL_FILL_SPREAD_G = 2.0  # standard, per can; the tool's own choice until the shop's own cans show better


def said(mass: Mass) -> str:
    """A mass as a number of a table."""
    return f"{mass.to(Unit.G):f} g"


TERMS: Terms = {
    "last": ("if", ("same", "style", "before_style"), "before"),
    "full": ("+", "net", "shell"),
    "attached": ("if", ("is", "style", "bare can"), "0", said(ATTACHED)),
    "lowest": ("-", "shell", "spread"),
    "highest": ("if", ("known", "last"), "last", ("+", "full", "attached")),
    "meant": (
        "other-unit",
        ("*", "lowest", f"{1 - RATIO_SLACK}"),
        ("*", "highest", f"{1 + RATIO_SLACK}"),
        "highest",
    ),
    "u2_label": (
        "+",
        ("*", f"{LABEL_FILL_SPREAD_G} g", f"{LABEL_FILL_SPREAD_G} g"),
        ("/", ("*", "spread", "spread"), "3"),
    ),
    "d2": ("*", "division", "division"),
    "u2": ("if", ("is", "origin", "from label"), "u2_label", ("/", "d2", "12")),
    "u2_before": (
        "if",
        ("is", "before_origin", "from label"),
        "u2_label",
        ("/", ("*", "before_division", "before_division"), "12"),
    ),
    "wide2": ("*", f"{K * K}", ("+", "u2", "u2_before")),
    "scale2": ("*", f"{K * K}", ("/", "d2", "6")),
    "margin": ("max", "spread", f"{SPREAD_G} g"),
    "change": ("-", "gross", "last"),
    "light": ("-", "full", "gross"),
    "lost": ("-", "last", "gross"),
    "swapped": ("swapped", "last", "wide2"),
    "swapped_full": ("swapped", "full", "scale2"),
    "sealed_alone": ("and", "sealed", ("not", ("known", "last")), ("is", "style", "bare can")),
}
_FIELD, _ONE = "reading", "ticket"
_SWAPPED = phrase(
    "{can} should weigh about {expected}. Were two digits swapped: {swapped}? Read the scale again."
)
TICKET = (
    Row(
        "style-differs",
        BLOCKS,
        "style",
        ("and", ("known", "before"), ("not", ("known", "last")), ("not", "first")),
        phrase("{can} was weighed before as “{style}”. Weigh it the same way again."),
        {"can": "can", "style": "before_style"},
        _ONE,
    ),
    Row(
        "unit-slip",
        BLOCKS,
        _FIELD,
        (
            "and",
            (
                "not",
                (
                    "and",
                    (">", "gross", ("*", "lowest", f"{1 - FAR_OFF}")),
                    ("<", "gross", ("*", "highest", f"{1 + FAR_OFF}")),
                ),
            ),
            ("known", "meant"),
        ),
        phrase("{typed} looks like {unit} (= {same}). If so, type {same}."),
        {"typed": "number", "unit": ("unit-word", "meant"), "same": ("converted", "meant")},
        _ONE,
    ),
    Row(
        "can-above-full",
        BLOCKS,
        _FIELD,
        (
            "beyond",
            (
                "-",
                "gross",
                ("+", "full", ("*", "net", f"{FILL_ALLOWANCE}"), "attached", "margin"),
            ),
            "scale2",
        ),
        phrase("A full can of this kind weighs about {full}. Read the scale again."),
        {"full": ("mass", "full")},
        _ONE,
    ),
    Row(
        "can-below-shell",
        BLOCKS,
        _FIELD,
        (
            "and",
            ("not", ("is", "style", "on the scale, hose zeroed")),
            ("beyond", ("-", ("-", "shell", "margin"), "gross"), "scale2"),
        ),
        phrase(
            "An empty shell of this kind weighs about {shell}; {can} cannot weigh less. Check the scale's"
            " zero."
        ),
        {"shell": ("mass", "shell"), "can": "can"},
        _ONE,
    ),
    Row(
        "digits-swapped",
        WARNS,
        _FIELD,
        ("and", "first", ("beyond", ("abs", "change"), "wide2"), ("known", "swapped")),
        _SWAPPED,
        {"can": "can", "expected": ("mass", "last"), "swapped": ("in-unit", "swapped")},
        _ONE,
    ),
    Row(
        "can-gained",
        BLOCKS,
        _FIELD,
        (
            "and",
            (">", "change", said(FROST)),
            ("beyond", ("-", "change", "division"), "wide2"),
        ),
        phrase(
            "{can} got heavier: {reading} after {before}. A can cannot gain. Is it the right can? Wipe it"
            " and weigh it again."
        ),
        {"can": "can", "reading": "reading", "before": "before_reading"},
        _ONE,
    ),
    Row(
        "frost",
        NOTE,
        _FIELD,
        (">", "change", "0"),
        phrase("{can} shows {more} more than before: frost or water. Wipe it."),
        {"can": "can", "more": ("mass", "change")},
        _ONE,
    ),
    Row(
        "lost-waiting",
        WARNS,
        _FIELD,
        ("and", "first", ("known", "since"), ("beyond", "lost", "wide2")),
        phrase(
            "{can} lost {lost} g since {since:%H:%M}: a leaking tap? Keep it, and it is booked as released, not"
            " charged."
        ),
        {"can": "can", "lost": ("g", "lost"), "since": "since"},
        _ONE,
    ),
    Row(
        "can-lost-on-shelf",
        WARNS,
        _FIELD,
        ("and", "first", ("beyond", "lost", "wide2")),
        phrase(
            "{can} should weigh about {expected} and is {change} lighter: a leaking tap, another can, or used"
            " without a ticket? Look, and weigh it again."
        ),
        {"can": "can", "expected": ("mass", "last"), "change": ("mass", "lost")},
        _ONE,
    ),
    Row(
        "digits-swapped",
        WARNS,
        _FIELD,
        ("and", "sealed_alone", (">", "light", said(SEALED_LIGHT)), ("known", "swapped_full")),
        _SWAPPED,
        {"can": "can", "expected": ("mass", "full"), "swapped": ("in-unit", "swapped_full")},
        _ONE,
    ),
    Row(
        "sealed-light",
        WARNS,
        _FIELD,
        ("and", "sealed_alone", (">", "light", said(SEALED_LIGHT))),
        phrase(
            "{can} is sealed, and {light} lighter than a full can. Weigh it again. If that holds, it came"
            " short or leaked here."
        ),
        {"can": "can", "light": ("mass", "light")},
        _ONE,
    ),
)
