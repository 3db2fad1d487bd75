"""Forms of numbered rows, and a kind of can as a choice."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms

from inventory.queries import container_types

BOX = "inventory/_box.html"  # a field that is one of several: none says of itself that it may be left empty
MOST_ROWS = 12


class TypeChoice(forms.ModelChoiceField):  # type: ignore[type-arg] # not subscriptable at run time
    """A kind of can, told with what it holds."""

    def __init__(self, **rest: Any) -> None:
        super().__init__(container_types(), empty_label="Choose", required=False, template_name=BOX, **rest)

    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.refrigerant_id} {obj.name}, {obj.net_text} {obj.net_unit}, case of {obj.cans_per_case}"


class Rows(forms.Form):
    """A form with numbered rows of fields: type_0, cans_0, type_1 … . A hidden ``rows`` says how many."""

    rows = forms.IntegerField(widget=forms.HiddenInput, required=False)
    row_names: tuple[str, ...] = ()

    def __init__(self, data: Any = None, *, more: bool = False, **rest: Any) -> None:
        typed = str((rest.get("initial", {}) if data is None else data).get("rows", "1"))
        self.count = min(max(int(typed) if typed.isdecimal() else 1, 1) + more, MOST_ROWS)
        if data is not None:
            data = data.copy()
            data["rows"] = self.count
        super().__init__(data, **rest)
        self.initial["rows"] = self.count
        for number in range(self.count):
            for name, field in self.row_fields(number).items():
                self.fields[f"{name}_{number}"] = field

    def row_fields(self, number: int) -> dict[str, forms.Field]:
        """The fields of one row by their plain names; the base has none."""
        return {}

    def lines_of_fields(self) -> Iterator[list[forms.BoundField]]:
        """The bound fields, row by row, for the template."""
        for number in range(self.count):
            yield [self[f"{name}_{number}"] for name in self.row_names]

    def typed(self, number: int, name: str) -> Any:
        return self.cleaned_data.get(f"{name}_{number}")

    def is_blank(self, number: int) -> bool:
        """Whether nothing was typed in a row; the kind alone does not count in later rows."""
        return all(self.typed(number, name) in (None, "") for name in self.row_names) and not any(
            f"{name}_{number}" in self.errors for name in self.row_names
        )
