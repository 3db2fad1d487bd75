"""The day of the bookkeeper's sheet."""

from __future__ import annotations

from datetime import date

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.forms.fields import DayField


class StockDayForm(forms.Form):
    """At the end of which day."""

    day = DayField(label=_("Stock at the end of"))

    def chosen(self) -> date:
        day: date = self.cleaned_data["day"]
        return day
