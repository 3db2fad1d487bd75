"""A change of one of the shop's own rules."""

from __future__ import annotations

from datetime import date
from typing import TypedDict

from django import forms

from shop.core.house import SHEETS
from shop.forms.fields import NO_SPINNER, DayField, line


class RuleChange(TypedDict):
    """What ``change_rule`` takes."""

    key: str
    value: str
    from_day: date
    basis: str


class RuleForm(forms.Form):
    """One rule, its new value, from which day, resting on what."""

    key = forms.ChoiceField(
        label="Rule", choices=[(sheet.key, f"{sheet.name} ({sheet.unit})") for sheet in SHEETS]
    )
    value = line(40, label="New value", widget=forms.TextInput(NO_SPINNER))
    from_day = DayField(label="From", help_text="Today or a later day. Work already done keeps its rule.")
    basis = line(
        200,
        label="What it rests on",
        help_text="For example: five hose fillings weighed May 4, 5.8 g on average.",
    )

    def change(self) -> RuleChange:
        said = self.cleaned_data
        return RuleChange(
            key=said["key"], value=said["value"], from_day=said["from_day"], basis=said["basis"]
        )
