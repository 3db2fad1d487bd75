"""The form of a maker's table: its source and units, and rows of bands as they are printed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.makers_table import MOST_ROWS, Against, RowTyped, TableTyped
from shop.forms import PRESSURE, TEMPERATURE

COLUMNS = {
    "temperature": _("Air"),
    "humidity": _("Humidity, %"),
    "vent": _("Vent"),
    "high_side": _("High side"),
    "low_side": _("Low side"),
}
FIRST_ROWS, MORE_ROWS = 4, 4


@dataclass(frozen=True, slots=True)
class RowOfFields:
    number: int
    fields: list[forms.BoundField]


class MakersTableForm(forms.Form):
    """Rows are the fields ``temperature_0``, ``humidity_0`` … ``low_side_0`` and so on; empty rows are passed over."""

    against = forms.ChoiceField(
        label=_("Its rows go by"),
        choices=[(one.value, _(one.value)) for one in Against],
        widget=forms.RadioSelect,
        initial=Against.INLET.value,
    )
    source = forms.CharField(
        label=_("Whose table, and where you read it"),
        max_length=120,
        help_text=_("For example: service information of this car, page 24-31"),
    )
    run_as = forms.CharField(
        label=_("How the maker says to run it"),
        required=False,
        max_length=160,
        help_text=_("For example: 1,500 rpm, recirculate, blower high, doors open"),
    )
    temperature_unit = forms.ChoiceField(
        label=_("Temperatures in"), choices=[(one, one) for one in TEMPERATURE]
    )
    pressure_unit = forms.ChoiceField(label=_("Pressures in"), choices=[(one, one) for one in PRESSURE])
    rows = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, data: Any = None, *, typed: TableTyped | None = None, more: bool = False) -> None:
        super().__init__(data, initial=_begin(typed))
        self.count = _asked(data) if data is not None else max(len(typed.rows) if typed else 0, FIRST_ROWS)
        self.count = min(self.count + (MORE_ROWS if more else 0), MOST_ROWS)
        for number in range(self.count):
            for name, label in COLUMNS.items():
                self.fields[f"{name}_{number}"] = forms.CharField(
                    label=label,
                    required=False,
                    max_length=20,
                    widget=forms.TextInput({"autocomplete": "off"}),
                )
                self.fields[f"{name}_{number}"].asked = True  # type: ignore[attr-defined] # a maker leaves gaps

    @property
    def head(self) -> list[forms.BoundField]:
        return [self[name] for name in ("against", "source", "run_as", "temperature_unit", "pressure_unit")]

    @property
    def rows_shown(self) -> Iterator[RowOfFields]:
        for number in range(self.count):
            yield RowOfFields(number, [self[f"{name}_{number}"] for name in COLUMNS])

    def table(self) -> TableTyped:
        """What was typed, for the service. A row in which nothing was typed keeps its number, at the end."""
        typed = self.cleaned_data
        rows = [
            RowTyped(**{name: typed.get(f"{name}_{number}") or "" for name in COLUMNS})
            for number in range(self.count)
        ]
        while rows and rows[-1] == RowTyped(""):
            rows.pop()
        return TableTyped(
            Against(typed["against"]),
            typed["source"],
            typed["run_as"],
            typed["temperature_unit"],
            typed["pressure_unit"],
            tuple(rows),
        )


def _asked(data: Any) -> int:
    """How many rows the sent form had."""
    text = str(data.get("rows") or "")
    return min(int(text), MOST_ROWS) if text.isdecimal() and len(text) < 4 else FIRST_ROWS


def _begin(typed: TableTyped | None) -> dict[str, Any]:
    if typed is None:
        return {}
    begin: dict[str, Any] = {
        "against": typed.against,
        "source": typed.source,
        "run_as": typed.run_as,
        "temperature_unit": typed.temperature_unit,
        "pressure_unit": typed.pressure_unit,
    }
    for number, row in enumerate(typed.rows):
        begin |= {f"{name}_{number}": getattr(row, name) for name in COLUMNS}
    return begin


class TakeBackForm(forms.Form):
    why = forms.CharField(label=_("Why it holds no more"), max_length=200)
