"""What gauge and thermometer show on a cylinder at rest."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.services import AirCheckIn
from shop.forms import PRESSURE, TEMPERATURE, GaugeField, line


class AirCheckForm(forms.Form):
    """One reading of each, as typed; the barometer only when the shop has one."""

    pressure = GaugeField(PRESSURE, label=_("The gauge shows"))
    temperature = GaugeField(TEMPERATURE, label=_("The thermometer shows"))
    barometer = line(
        24,
        label=_("Barometer, if there is one"),
        required=False,
        help_text=_("Station pressure with its unit, for example 24.6 inHg. Else the shop's height counts."),
    )
    at_rest = forms.BooleanField(label=_("It stands out of the sun, at rest, valves shut"), required=False)

    def check(self) -> AirCheckIn:
        typed = self.cleaned_data
        return AirCheckIn(typed["pressure"], typed["temperature"], typed["barometer"], typed["at_rest"])
