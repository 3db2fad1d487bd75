"""What do these gauge pressures mean as temperatures, and how far are they from the outdoor air?"""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.approach import approach_answer
from compliance.core.final_readings import Typed, typed_problems
from compliance.forms.sums.base import SumForm
from inventory.core.properties import FLUIDS
from shop.core.answer import Answer
from shop.core.cautions import RUNNING
from shop.core.conditions import with_barometer
from shop.core.gauge import DEGREES_C, shown
from shop.forms import PRESSURE, TEMPERATURE, GaugeField
from shop.http import say


class ApproachSum(SumForm):
    name = "approach"
    title = _("Pressures as temperatures")
    purpose = _("Running: at what temperature it condenses and evaporates, and how far from the outdoor air.")
    cautions = (RUNNING,)
    refrigerant = forms.ChoiceField(label=_("Refrigerant"), choices=[(code, code) for code in FLUIDS])
    high_side = GaugeField(PRESSURE, label=_("High side"), required=False)
    low_side = GaugeField(PRESSURE, label=_("Low side"), required=False)
    outdoor = GaugeField(TEMPERATURE, label=_("Outdoor air"), required=False)
    barometer = forms.CharField(
        label=_("Barometer"),
        required=False,
        max_length=24,
        help_text=_("When you have one, for example 24.6 inHg. Else the shop's height counts."),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not cleaned.get("high_side") and not cleaned.get("low_side"):
            self.add_error("high_side", _("Type at least one pressure."))
        self.here, found = with_barometer(self.here, cleaned.get("barometer") or "")
        for finding in (*typed_problems(self.typed()), *found):
            self.add_error(finding.field, say(finding.message))
        return cleaned

    def typed(self) -> Typed:
        cleaned = self.cleaned_data
        return Typed(
            outdoor=cleaned.get("outdoor") or "",
            low_side=cleaned.get("low_side") or "",
            high_side=cleaned.get("high_side") or "",
        )

    def answer(self) -> Answer:
        read = shown(self.cleaned_data["outdoor"])
        unit = "°C" if read is not None and read.unit in DEGREES_C else "°F"
        return approach_answer(self.typed(), FLUIDS[self.cleaned_data["refrigerant"]], self.here, unit)
