"""Forms about papers."""

from __future__ import annotations

from django import forms

from shop.core.period import Period


class Day(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class PeriodForm(forms.Form):
    first = forms.DateField(label="First day", widget=Day())
    last = forms.DateField(label="Last day", widget=Day())

    def period(self) -> Period:
        return Period(self.cleaned_data["first"], self.cleaned_data["last"])


class WhyForm(forms.Form):
    why = forms.CharField(label="Why", max_length=200)

    def reason(self) -> str:
        return str(self.cleaned_data["why"])


class ReissueCertificateForm(WhyForm):
    customer = forms.CharField(label="Customer, as it should read", max_length=80)

    field_order = ["customer", "why"]

    def name(self) -> str:
        return str(self.cleaned_data["customer"])
