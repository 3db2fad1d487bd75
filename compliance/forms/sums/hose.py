"""What stays in a hose?"""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.forms.sums.base import SumForm
from compliance.forms.sums.measured import LengthField, PressureField, TemperatureField, refrigerant_field
from inventory.core.hose import HoseEnd, HoseJob, hose_answer, hose_problems
from shop.core.answer import Answer
from shop.core.cautions import GLOVES
from shop.forms import WholeField
from shop.http import say


class HoseSum(SumForm):
    name = "hose"
    title = _("What stays in a hose?")
    purpose = _("By its length, its bore and how it was left. To measure a set, use its own page.")
    cautions = (GLOVES,)
    refrigerant = refrigerant_field()
    length = LengthField(("in", "ft", "m"), label=_("Length of one hose"))
    bore = LengthField(("in", "mm"), label=_("Bore, the hole"), help_text=_("A quarter inch is 0.25."))
    number = WholeField(label=_("Hoses like it"), least=1, most=4, initial=1)
    hose_at = TemperatureField(label=_("Temperature of the hose"))
    end = forms.ChoiceField(
        label=_("How it was left"),
        choices=[(one.value, _(one.value)) for one in HoseEnd],
        widget=forms.RadioSelect,
    )
    gauge = PressureField(label=_("Gauge, for vapour at its pressure"), required=False)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        for finding in () if self.errors else hose_problems(self._job(typed)):
            self.add_error(finding.field, say(finding.message))
        return typed

    def _job(self, typed: dict[str, Any]) -> HoseJob:
        gauge = typed["gauge"]
        return HoseJob(
            refrigerant=typed["refrigerant"],
            length=typed["length"],
            bore=typed["bore"],
            end=HoseEnd(typed["end"]),
            kelvin=typed["hose_at"],
            air=self.here.air,
            number=typed["number"],
            pressure=gauge.absolute(self.here.air) if gauge is not None else None,
        )

    def answer(self) -> Answer:
        return hose_answer(self._job(self.cleaned_data))
