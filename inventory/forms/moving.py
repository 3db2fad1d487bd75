"""Spots and moves: what is typed or scanned."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.forms.numbers import NumbersField
from inventory.models import Spot
from inventory.services import MoveIn
from shop.forms import line
from shop.models import Establishment


class SpotForm(forms.Form):
    """A name for a shelf, a van, a bay, a spot outside."""

    name = line(40, label="What the shop calls it", help_text="For example: top shelf, van 2, by bay 1.")
    kind = forms.ChoiceField(label="It is a", choices=Spot.Kind.choices)


class MoveForm(forms.Form):
    """Numbers one after the other, as a scanner types them, and where they go."""

    containers = NumbersField(label="Cans and cylinders")
    to = forms.ModelChoiceField(Spot.objects.none(), label="To", empty_label="Choose")
    at_once = forms.BooleanField(
        label="I put them down there myself",
        required=False,
        help_text="Without this tick they are on the way until somebody there says that they arrived.",
    )

    def __init__(self, *args: Any, house: Establishment, spots: Any, **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.fields["containers"].house = house  # type: ignore[attr-defined]
        self.fields["to"].queryset = spots  # type: ignore[attr-defined]

    def move(self) -> MoveIn:
        said = self.cleaned_data
        return MoveIn(said["containers"], said["to"], at_once=said["at_once"])
