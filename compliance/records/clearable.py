"""What of the records names a customer: which columns of which tables, and what stays in each when it is cleared."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from django.apps import apps
from django.db import models

from compliance.core.clearing import MARK, MARK_NEW

FACTS = "facts"  # the column of which only a part is cleared


@dataclass(frozen=True, eq=False)
class Clearable:
    """What of a table names a customer. ``ways`` are the keys that lead from a row to its job, ``marks`` what stays in
    each column (facts keep all but the customer), ``even_empty`` columns take their mark also where nothing stood."""

    label: str
    ways: tuple[str, ...]
    marks: Mapping[str, str | bytes]
    even_empty: frozenset[str] = field(default_factory=frozenset)

    @property
    def model(self) -> type[models.Model]:
        return apps.get_model(self.label)

    @property
    def table(self) -> str:
        return self.model._meta.db_table


def _typed(label: str, *ways: str, columns: str) -> Clearable:
    """Columns of free text, each of which leaves the mark."""
    return Clearable(f"compliance.{label}", ways, dict.fromkeys(columns.split(), MARK))


CLEARABLE = (
    _typed("CheckIn", "stage__job", columns="customer phone plate complaint repair_order elsewhere"),
    _typed("Stage", "job", columns="reason"),
    _typed("Label", "stage__job", columns="source_note"),
    _typed("Recovery", "stage__job", columns="note"),
    _typed("LeakCheck", "stage__job", columns="detail"),
    _typed("Charge", "stage__job", columns="released_why"),
    _typed("FinalReadings", "stage__job", columns="note"),
    _typed("CustomerChoice", "job", columns="who how note"),
    _typed("HandOver", "job", columns="note"),
    _typed("PackAnswer", "job", columns="reason"),
    _typed("JobHold", "job", columns="why"),
    _typed("JobHoldEnd", "hold__job", columns="why"),
    _typed("SpareEntry", "job", columns="as_typed says why"),
    _typed("CustomerLink", "closing__job", columns="given_to"),
    _typed("PhotoSetAside", "photo__job", columns="why"),
    _typed("Withdrawal", "document__certificate__closing__job", "document__case_file__job", columns="why"),
    Clearable("compliance.CorrectedField", ("correction__closing__job",), {"old": MARK, "new": MARK_NEW}),
    Clearable("compliance.Correction", ("closing__job",), {"why": MARK, FACTS: ""}),
    Clearable("compliance.Closing", ("job",), {FACTS: ""}),
    Clearable("compliance.Photo", ("job",), {"jpeg": b"", "caption": MARK}),
    Clearable(
        "compliance.Document",
        ("certificate__closing__job", "case_file__job"),
        {FACTS: "", "pdf": b"", "why": MARK},
    ),
    Clearable(
        "shop.Vehicle", ("jobs",), {"vin": "", "plate": MARK, "description": MARK}, frozenset({"plate"})
    ),
)
