"""Spots and moves: what is typed or scanned."""

from __future__ import annotations

import re
from typing import Any

from django import forms

from inventory.models import Container, Spot
from inventory.queries import in_the_cabinet
from inventory.services import MoveIn
from shop.forms import line
from shop.models import Establishment


class SpotForm(forms.Form):
    """A name for a shelf, a van, a bay, a spot outside."""

    name = line(40, label="What the shop calls it", help_text="For example: top shelf, van 2, by bay 1.")
    kind = forms.ChoiceField(label="It is a", choices=Spot.Kind.choices)


class MoveForm(forms.Form):
    """Numbers one after the other, as a scanner types them, and where they go."""

    containers = forms.CharField(
        label="Cans and cylinders",
        max_length=4000,
        widget=forms.Textarea(
            {"rows": 3, "autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}
        ),
        help_text="Scan one after the other, or type their numbers with blanks between: K-0003 K-0004.",
    )
    to = forms.ModelChoiceField(Spot.objects.none(), label="To", empty_label="Choose")
    at_once = forms.BooleanField(
        label="I put them down there myself",
        required=False,
        help_text="Without this tick they are on the way until somebody there says that they arrived.",
    )

    def __init__(self, *args: Any, house: Establishment, spots: Any, **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.house = house
        self.fields["to"].queryset = spots  # type: ignore[attr-defined]

    def clean_containers(self) -> tuple[Container, ...]:
        codes = list(dict.fromkeys(re.split(r"[\s,;]+", self.cleaned_data["containers"].strip().upper())))
        known = {one.code: one for one in in_the_cabinet(self.house).filter(pk__in=codes)}
        strange = [code for code in codes if code not in known]
        if strange:
            names = ", ".join(strange[:5])
            raise forms.ValidationError(f"No can or cylinder in use has the number {names}. Read it again.")
        return tuple(known[code] for code in codes)

    def move(self) -> MoveIn:
        said = self.cleaned_data
        return MoveIn(said["containers"], said["to"], at_once=said["at_once"])
