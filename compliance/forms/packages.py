"""Old records, the monthly copy, and the pack for a buyer."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from shop.core.period import Period
from shop.forms import line

MONTHS = 36  # that are offered


class KeepForm(forms.Form):
    """Keep everything for ever, or by the years of the rules."""

    how = forms.ChoiceField(
        label=_("How long records are kept"),
        choices=[("rules", _("By the years of the rules")), ("for ever", _("For ever"))],
    )
    why = line(200, label=_("Why"))


class BundleForm(forms.Form):
    """Which month is copied."""

    month = forms.ChoiceField(label=_("Month"))

    def __init__(self, *args: Any, today: date, **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.months = {f"{one.first:%Y-%m}": one for one in months_back(today)}
        choices = [(key, date_format(one.first, "F Y")) for key, one in self.months.items()]
        self.fields["month"].choices = choices  # type: ignore[attr-defined]

    def period(self) -> Period:
        return self.months[self.cleaned_data["month"]]


def months_back(today: date) -> Iterator[Period]:
    """This month and those before it, the newest first."""
    month = Period.month(today)
    for _number in range(MONTHS):
        yield month
        month = Period.month(month.first - timedelta(days=1))
