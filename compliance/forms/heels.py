"""Forms that empty a can into a cylinder: its heel, or all that is in one that nobody may use."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from compliance.services import EmptyingIn, HeelIn
from inventory.core.refrigerants import UNKNOWN
from inventory.core.weighing import Style
from inventory.models import Container
from inventory.queries import in_the_cabinet, usual_scale
from inventory.services import TicketIn
from shop.core.mass import grams
from shop.forms import ReadingField, ScaleChoice, ScaleSelect, reading_on
from shop.models import Equipment
from shop.queries import in_service, rules_on


class HeelForm(forms.Form):
    cylinder = forms.ModelChoiceField(
        label=_("Into cylinder"), queryset=Container.objects.none(), empty_label=None
    )
    scale = forms.ModelChoiceField(
        label=_("Scale"), queryset=Equipment.objects.none(), empty_label=None, widget=ScaleSelect
    )
    empty = ReadingField(label=_("The can after its heel was recovered"), max_length=16)
    style = forms.ChoiceField(label=_("On the pan"), choices=[(one.value, _(one.value)) for one in Style])

    all_of_it = forms.BooleanField(
        label=_("It was more than a heel: all of it was taken out on purpose"), required=False
    )

    def __init__(self, *args: Any, can: Container, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if can.book <= grams(rules_on(can.establishment, today).heel_limit_g):
            del self.fields["all_of_it"]
        cylinders = in_the_cabinet(can.establishment).filter(kind="cylinder", refrigerant=can.refrigerant_id)
        self.fields["cylinder"].queryset = cylinders  # type: ignore[attr-defined]
        self.fields["scale"].queryset = in_service(can.establishment, today, "scale")  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("scale") is not None:
            cleaned["read"] = reading_on(cleaned["scale"], self, "empty")
        return cleaned

    def heel(self) -> HeelIn:
        typed = self.cleaned_data
        empty = TicketIn(typed["scale"], typed["read"], Style(typed["style"]))
        return HeelIn(typed["cylinder"], empty, all_of_it=bool(typed.get("all_of_it")))


class EmptyingForm(forms.Form):
    cylinder = forms.ModelChoiceField(
        label=_("Into cylinder"), queryset=Container.objects.none(), empty_label=_("Choose")
    )
    scale = ScaleChoice(label=_("Scale"))
    before = ReadingField(label=_("The can before"))
    after = ReadingField(label=_("The can afterwards"))
    style = forms.ChoiceField(label=_("On the pan"), choices=[(one.value, _(one.value)) for one in Style])

    def __init__(self, *args: Any, can: Container, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        unknown = Q(refrigerant=UNKNOWN) | Q(mixed__isnull=False)
        cylinders = in_the_cabinet(can.establishment).filter(unknown, kind="cylinder")
        self.fields["cylinder"].queryset = cylinders  # type: ignore[attr-defined]
        self.fields["scale"].queryset = in_service(can.establishment, today, "scale")  # type: ignore[attr-defined]
        self.fields["scale"].initial = usual_scale(can.establishment, "can")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if (scale := cleaned.get("scale")) is not None:
            self.read = {name: reading_on(scale, self, name) for name in ("before", "after")}
        return cleaned

    def emptying(self) -> EmptyingIn:
        typed, tickets = self.cleaned_data, []
        for name in ("before", "after"):
            reading = self.read[name]
            assert reading is not None  # noqa: S101 - ``clean`` has refused it
            tickets.append(TicketIn(typed["scale"], reading, Style(typed["style"])))
        return EmptyingIn(typed["cylinder"], *tickets)
