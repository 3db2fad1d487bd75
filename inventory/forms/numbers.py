"""Numbers of cans and cylinders, typed or scanned one after the other."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.core.numbers import numbers_in
from inventory.queries import in_the_cabinet
from shop.models import Establishment


class NumbersField(forms.CharField):
    """Cleans to the containers in use with these numbers. The form says whose they are: ``field.house = …``."""

    house: Establishment

    def __init__(self, **rest: Any) -> None:
        attrs = {"rows": 3, "autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}
        said = "Scan one after the other, or type their numbers with blanks between: K-0003 K-0004."
        super().__init__(max_length=20_000, widget=forms.Textarea(attrs), help_text=said, **rest)

    def clean(self, value: Any) -> Any:
        codes = numbers_in(super().clean(value))
        known = {one.code: one for one in in_the_cabinet(self.house).filter(pk__in=codes)}
        strange = [code[:24] for code in codes if code not in known]
        if strange:
            names = ", ".join(strange[:5])
            raise ValidationError(f"No can or cylinder in use has the number {names}. Read it again.")
        return tuple(known[code] for code in codes)
