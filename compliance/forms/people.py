"""Copies of cards for suppliers, notices, hand-over of a leaver's jobs, the days that are asked about."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from compliance.services.card_copies import CopyIn
from inventory.models import Supplier
from shop.forms import DayField, line
from shop.models import Establishment, Person


class DaysForm(forms.Form):
    """From one day to another."""

    first = DayField(label=_("From"))
    last = DayField(label=_("To"))

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        if said.get("first") and said.get("last") and said["last"] < said["first"]:
            raise ValidationError(_("The last day is before the first."))
        return said

    def days(self) -> tuple[date, date]:
        return self.cleaned_data["first"], self.cleaned_data["last"]


class CopyForm(forms.Form):
    """Which supplier gets whose card."""

    supplier = forms.ModelChoiceField(Supplier.objects.none(), label=_("Supplier"), empty_label=_("Choose"))
    people = forms.MultipleChoiceField(
        label=_("Whose card"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose whose card goes out.")},
    )

    def __init__(
        self, *args: Any, establishment: Establishment, people: Iterable[Person], **rest: Any
    ) -> None:
        super().__init__(*args, **rest)
        self.mine = {str(one.pk): one for one in people}
        self.fields["supplier"].queryset = Supplier.objects.filter(establishment=establishment)  # type: ignore[attr-defined]
        self.fields["people"].choices = [(pk, one.name) for pk, one in self.mine.items()]  # type: ignore[attr-defined]

    def copy(self) -> CopyIn:
        return CopyIn(self.cleaned_data["supplier"], [self.mine[pk] for pk in self.cleaned_data["people"]])


class NoticeForm(forms.Form):
    on = DayField(label=_("Told on"))
    how = line(80, label=_("How"), help_text=_("For example: by email, at the counter."))

    def told(self) -> dict[str, Any]:
        return self.cleaned_data


class ToWhomForm(forms.Form):
    """Who goes on with the open jobs."""

    to = forms.ModelChoiceField(
        Person.objects.none(), label=_("Who goes on with them"), empty_label=_("Choose")
    )

    def __init__(self, *args: Any, leaver: Person, by: Person, **rest: Any) -> None:
        super().__init__(*args, **rest)
        others = Person.objects.at(leaver.establishment).filter(is_active=True, leaves_on=None)
        others = others.exclude(pk__in=(leaver.pk, by.pk)).exclude(role="front office")
        self.fields["to"].queryset = others  # type: ignore[attr-defined]

    def person(self) -> Person:
        to: Person = self.cleaned_data["to"]
        return to
