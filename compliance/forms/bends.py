"""Forms of a job that bends: what the customer chose, who goes on."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.models import CustomerChoice
from compliance.services import ChoiceIn
from shop.core.phrase import phrase
from shop.models import Person

HOW = (phrase("by phone"), phrase("at the counter"), phrase("in writing"))
HANDED = (
    phrase("vacuum holds, charge next"),
    phrase("recovered, leak check next"),
    phrase("charging, can is on the car"),
    phrase("waits for a part"),
)


class ChoiceForm(forms.Form):
    what = forms.ChoiceField(
        label=_("The customer"),
        choices=[(value, _(word)) for value, word in CustomerChoice.What.choices],
        widget=forms.RadioSelect,
    )
    who = forms.CharField(label=_("Who answered"), max_length=80)
    how = forms.ChoiceField(
        label=_("How"), choices=[(str(one), _(one)) for one in HOW], widget=forms.RadioSelect
    )
    note = forms.CharField(label=_("Their words, when they matter"), required=False, max_length=200)

    def choice(self) -> ChoiceIn:
        typed = self.cleaned_data
        return ChoiceIn(typed["what"], typed["who"], typed["how"], typed["note"])


class HandOverForm(forms.Form):
    to = forms.ModelChoiceField(
        label=_("To"), queryset=Person.objects.none(), widget=forms.RadioSelect, empty_label=None
    )
    how = forms.ChoiceField(
        label=_("How it stands"),
        choices=[(str(one), _(one)) for one in HANDED],
        widget=forms.RadioSelect,
        required=False,
    )
    note = forms.CharField(label=_("Or in other words"), required=False, max_length=200)

    def __init__(self, *args: Any, by: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = Person.objects.at(by.establishment).filter(is_active=True).exclude(pk=by.pk)
        self.fields["to"].queryset = people.exclude(role="front office")  # type: ignore[attr-defined]

    def person(self) -> Person:
        to: Person = self.cleaned_data["to"]
        return to

    def words(self) -> str:
        return str(self.cleaned_data["note"] or self.cleaned_data["how"])
