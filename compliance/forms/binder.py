"""The range of days of an inspection binder, and what it is kept for."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.forms.people import DaysForm
from shop.core.period import Period


class BinderForm(DaysForm):
    """From one day to another; the first is not after the last."""

    def period(self) -> Period:
        return Period(*self.days())


class KeepBinderForm(BinderForm):
    why = forms.CharField(
        label=_("What it is printed for"), max_length=200, help_text=_("For example: visit of March 4.")
    )

    def reason(self) -> str:
        return str(self.cleaned_data["why"])
