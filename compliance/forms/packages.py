"""Old records, the monthly copy, and the pack for a buyer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from compliance.services.selling import SaleIn
from inventory.models import Count
from shop.core.period import Period
from shop.forms import line
from shop.models import Person

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


class SaleForm(forms.Form):
    """Who buys, on which count, who stays; customers' details go along only when that is ticked."""

    buyer = line(160, label=_("Name of the buyer"))
    count = forms.ChoiceField(
        label=_("Closing count, of the day of the sale"),
        error_messages={"required": _("Choose the closing count.")},
    )
    staff = forms.MultipleChoiceField(
        label=_("Who stays with the buyer"), widget=forms.CheckboxSelectMultiple, required=False
    )
    with_customers = forms.BooleanField(
        label=_("Buyer and I agreed that customers’ details go along"), required=False
    )

    def __init__(self, *args: Any, counts: Iterable[Count], people: Iterable[Person], **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.counts = {str(one.pk): one for one in counts}
        self.people = {str(one.pk): one for one in people}
        days = [(key, f"{date_format(one.on, 'M j Y')}, {one.by.name}") for key, one in self.counts.items()]
        self.fields["count"].choices = days  # type: ignore[attr-defined]
        names = [(key, one.name) for key, one in self.people.items()]
        self.fields["staff"].choices = names  # type: ignore[attr-defined]

    def sale(self) -> SaleIn:
        said = self.cleaned_data
        staff = [self.people[key] for key in said["staff"]]
        return SaleIn(said["buyer"], self.counts[said["count"]], staff, said["with_customers"])
