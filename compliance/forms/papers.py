"""Forms about papers."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.co2e import TABLES
from shop.core.period import Period
from shop.http import say


class Day(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class PeriodForm(forms.Form):
    first = forms.DateField(label="First day", widget=Day())
    last = forms.DateField(label="Last day", widget=Day())
    co2e = forms.ChoiceField(label=_("CO2e of releases, by the table"), required=False)

    def __init__(self, *args: Any, **rest: Any) -> None:
        super().__init__(*args, **rest)
        tables = [(table.key, say(table.said)) for table in TABLES]
        self.fields["co2e"].choices = [("", _("leave it out")), *tables]  # type: ignore[attr-defined]

    def period(self) -> Period:
        return Period(self.cleaned_data["first"], self.cleaned_data["last"])


class WhyForm(forms.Form):
    why = forms.CharField(label="Why", max_length=200)

    def reason(self) -> str:
        return str(self.cleaned_data["why"])
