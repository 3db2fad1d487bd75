"""How full may this cylinder be, and is there air in it? Either question by itself, or both at once."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.forms.sums.base import SumForm
from inventory.core.air_check import CONDITIONS, AirReadings, air_answer, air_check
from inventory.core.chart import GASES
from inventory.core.cylinder import fill_answer, fill_limit, twice_u
from inventory.core.refrigerants import UNKNOWN
from shop.core import cautions
from shop.core.answer import Answer, together
from shop.core.conditions import with_barometer
from shop.core.findings import Finding
from shop.core.mass import ZERO, Mass, Unit
from shop.forms import PRESSURE, TEMPERATURE, GaugeField, MassField, line
from shop.http import say

STAMPED = (Unit.LB, Unit.KG)


class CylinderSum(SumForm):
    name = "cylinder"
    title = _("How full may a cylinder be? Is there air in it?")
    purpose = _("Type the stamps for the limit, or gauge and thermometer for air, or both.")
    cautions = (cautions.GLOVES, cautions.CYLINDER, cautions.NO_VENTING)
    refrigerant = forms.ChoiceField(
        label=_("Refrigerant"), choices=[(code, code) for code in GASES] + [(UNKNOWN, _("mixed or unknown"))]
    )
    water = MassField(label=_("Water capacity, stamped WC"), units=STAMPED, required=False)
    tare = MassField(label=_("Tare, stamped TW"), units=STAMPED, required=False)
    gross = MassField(label=_("It weighs today"), units=(*STAMPED, Unit.G), required=False)
    pressure = GaugeField(PRESSURE, label=_("The gauge shows"), required=False)
    temperature = GaugeField(TEMPERATURE, label=_("The thermometer shows"), required=False)
    barometer = line(24, label=_("Barometer, if there is one"), required=False)

    def offer(self) -> None:
        self.fields["pressure"].help_text = say(CONDITIONS)

    def clean_water(self) -> object:
        typed = self.cleaned_data["water"]
        if typed is not None and typed.mass <= ZERO:
            raise forms.ValidationError(_("Type more than zero."))
        return typed

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        if self.errors:
            return typed
        if typed["water"] is None and not typed["pressure"]:
            self.add_error("water", _("Type the water capacity, or what the gauge shows."))
        if typed["gross"] is not None and typed["tare"] is None:
            self.add_error("tare", _("Type the tare too: what it holds is its weight less the tare."))
        elif typed["gross"] is not None and typed["gross"].mass < typed["tare"].mass:
            self.add_error(
                "gross", _("It weighs less than its stamped tare. Check both numbers and their units.")
            )
        if bool(typed["pressure"]) != bool(typed["temperature"]):
            self.add_error(
                "temperature" if typed["pressure"] else "pressure",
                _("Type both, the gauge and the thermometer."),
            )
        elif typed["pressure"]:
            self._compare(typed)
        return typed

    def _compare(self, typed: dict[str, Any]) -> None:
        """The check for air; what keeps it from being made stands beside its field."""
        here, found = with_barometer(self.here, typed["barometer"])
        water = typed["water"].mass if typed["water"] is not None else None
        held = self._held(typed) if water is not None else None
        readings = AirReadings(typed["refrigerant"], typed["pressure"], typed["temperature"], water, held)
        compared = air_check(readings, here)
        for finding in [*found, *([compared] if isinstance(compared, Finding) else [])]:
            self.add_error(finding.field, say(finding.message))
        self.compared = compared

    def _held(self, typed: dict[str, Any]) -> Mass | None:
        return (
            None
            if typed["gross"] is None or typed["tare"] is None
            else typed["gross"].mass - typed["tare"].mass
        )

    def answer(self) -> Answer:
        typed, answers = self.cleaned_data, []
        if typed["pressure"] and not isinstance(self.compared, Finding):
            answers.append(air_answer(self.compared))
        if typed["water"] is not None:
            fill = fill_limit(typed["water"].mass, self.rules.cylinder_fill_percent, typed["refrigerant"])
            held, gain = self._held(typed), float(self.rules.scale_gain_percent) / 100
            doubt = twice_u(typed["gross"].mass, None, gain) if held is not None else ZERO
            answers.append(fill_answer(fill, held=held, doubt=doubt))
        return together(*answers)
