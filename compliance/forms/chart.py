"""For which height the saturation chart is asked."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.bay_chart import BayChart, bay_chart
from inventory.core.chart import chart
from shop.core.conditions import conditions
from shop.core.house import SHEET, HouseRules
from shop.forms import WholeField

BOUNDS = SHEET["altitude_ft"]


class ChartForm(forms.Form):
    """Filled in by the address, so that a chart can be kept as a bookmark; empty means the shop's own height."""

    altitude = WholeField(
        label=_("Height, ft above sea level"), least=int(BOUNDS.least), most=int(BOUNDS.most), required=False
    )

    def __init__(self, data: Any, *, rules: HouseRules) -> None:
        super().__init__(data, initial={"altitude": int(rules.altitude_ft)})
        self.rules = rules

    def sheet(self, shop: str) -> BayChart:
        """The chart at the height typed; at the shop's own when none was, or none that can be."""
        typed = self.cleaned_data.get("altitude") if self.is_valid() else None
        here = conditions(self.rules.at(typed) if typed is not None else self.rules)
        return bay_chart(chart(here.air), shop=shop, air=here.air_said)
