"""The tables of rules as a page takes them along: rows, terms, sentences in one language, and how a number is read."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from functools import cache
from itertools import chain
from typing import Any

from compliance.core import stage_rules
from compliance.core.charge_rules import BESIDE, GATES, SAID, TERMS
from inventory.core import weighing_rules
from inventory.core.weighing import Style
from shop.core import gauge, gauge_text
from shop.core import reading as typing_rules
from shop.core.mass import LARGEST, MICROGRAMS
from shop.core.phrase import phrase
from shop.core.rule_rows import NOTE, UNIT_WORDS, Row, as_data

Say = Callable[[str], str]

MOMENTS = {"before": "before", "leak test": "leak test", "stays": "after", "off": "after", "empty": "after"}
STAYS_ON = ("before", "leak test", "stays")
NOT_HERE = Row(
    "can-not-here",
    NOTE,
    "container",
    ("not", ("known", "here")),
    phrase("This page does not know {can}. It is looked at when the signal is back."),
    {"can": "can"},
)


def tables(say: Say) -> dict[str, Any]:
    """All that the browser needs to judge a weigh ticket, its sentences in one language."""
    words = [*Style, *UNIT_WORDS.values(), *typing_rules.PLACES]
    return {
        "version": version(),
        "terms": {**weighing_rules.TERMS},
        "car": {**TERMS},
        "here": as_data([NOT_HERE], say),
        "gates": as_data(GATES, say),
        "said": as_data(SAID, say),
        "ticket": as_data(weighing_rules.TICKET, say),
        "beside": as_data(BESIDE, say),
        "moments": MOMENTS,
        "staysOn": STAYS_ON,
        "frost": weighing_rules.FROST.ug,
        "typed": _typed(say),
        "words": {str(word): say(word) for word in words if say(word) != str(word)},
    }


def stage_tables(kind: str, say: Say) -> dict[str, Any]:
    """The same for the fields of one stage. Only a recovery has weights."""
    return {
        "version": version(),
        "terms": {**stage_rules.TERMS},
        "stage": as_data(stage_rules.STAGES[kind], say),
        "typed": _typed(say) if kind == "recovery" else None,
        "gauge": {
            "shown": gauge.SHOWN.pattern,
            "pressures": {unit: [counts, str(size)] for unit, (counts, size) in gauge_text.PRESSURES.items()},
            "degrees": [[names, str(size), str(zero)] for names, size, zero in gauge_text.DEGREES.values()],
            "zero": str(gauge_text.ZERO_C),
            "bulbs": gauge_text.BULBS,
        },
        "words": {},
    }


def _typed(say: Say) -> dict[str, Any]:
    """How a typed number is read."""
    rules = typing_rules
    return {
        "says": {name: [code, say(sentence)] for name, (code, sentence) in rules.SAYS.items()},
        "noUnit": [say(one) for one in rules.NO_UNIT],
        "places": [*map(str, rules.PLACES), say(rules.MORE_PLACES)],
        "patterns": {
            name: pattern.pattern
            for name, pattern in (
                ("number", rules.NUMBER),
                ("grouped", rules.GROUPED),
                ("pounds", rules.POUNDS),
                ("fluid", rules.FLUID),
                ("troy", rules.TROY),
            )
        },
        "names": {name: unit.value for name, unit in rules.NAMES.items()},
        "longest": rules.LONGEST,
        "largest": int(LARGEST),
        "units": {unit.value: f"{ug:f}" for unit, ug in MICROGRAMS.items()},
        "words": {unit.value: str(word) for unit, word in UNIT_WORDS.items()},
    }


@cache
def version() -> str:
    """Of the tables, so that a page kept in a pocket can be told from a newer one."""
    rows = [*GATES, *SAID, *weighing_rules.TICKET, *BESIDE, *chain(*stage_rules.STAGES.values())]
    text = json.dumps([as_data(rows, str), TERMS, weighing_rules.TERMS, stage_rules.TERMS])
    return hashlib.sha256(text.encode()).hexdigest()[:12]
