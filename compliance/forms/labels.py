"""Which labels to print, on stock of which size."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.core.stock import STOCKS
from inventory.forms import NumbersField
from shop.forms import WholeField
from shop.models import Establishment


class LabelForm(forms.Form):
    """Numbers one after the other; a size; how many labels of the first sheet are used up."""

    containers = NumbersField(label="Cans and cylinders")
    stock = forms.ChoiceField(label="Labels", choices=[(stock.code, stock.name) for stock in STOCKS.values()])
    skip = WholeField(label="Used up on the first sheet", initial=0, most=29, required=False)

    def __init__(self, *args: Any, house: Establishment, **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.fields["containers"].house = house  # type: ignore[attr-defined]
