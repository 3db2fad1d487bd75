"""Where does the flow from this can stop, and what does warming it take?"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.forms.sums.base import SumForm
from compliance.forms.sums.measured import PressureField, TemperatureField, refrigerant_field
from inventory.core.can import USUAL_SYSTEM, FlowJob, flow_problems, small_can, too_hot
from inventory.core.can_words import flow_answer
from inventory.core.refrigerants import FLAMMABLE
from shop.core.answer import Answer
from shop.core.cautions import FLAME, GLOVES, LOW_SIDE, SLOW_CAN, Caution
from shop.core.mass import Unit
from shop.forms import MassField
from shop.forms.fields import NO_SPINNER
from shop.http import say

WEIGHED = (Unit.G, Unit.OZ)


class CanSum(SumForm):
    name = "can"
    title = _("How much will this can give by itself?")
    purpose = _("Vapour from a can into an evacuated system: where it stops, and how to warm the can.")
    cautions: tuple[Caution, ...] = (SLOW_CAN, GLOVES, LOW_SIDE)
    refrigerant = refrigerant_field()
    net = MassField(label=_("In the can now"), units=WEIGHED, help_text=_("A new can: its label."))
    can_at = TemperatureField(label=_("Temperature of the can"))
    system_at = TemperatureField(label=_("Temperature of the car's system"))
    litres = forms.DecimalField(
        label=_("The system's volume, L"),
        initial=Decimal(str(1000 * USUAL_SYSTEM)),
        widget=forms.TextInput(NO_SPINNER),
        help_text=_("Nobody knows it well: 2 to 3 L for a car, more with a second evaporator."),
    )
    target = MassField(label=_("Leak-test charge, or what shall go in"), units=WEIGHED, required=False)
    shell = MassField(label=_("The empty can"), units=WEIGHED, required=False)
    gauge = PressureField(label=_("Gauge when the tap was shut, for the heel"), required=False)

    def clean(self) -> dict[str, Any]:
        """What cannot be stands beside its field; a can that is too hot is the whole answer."""
        typed = super().clean() or {}
        if self.errors:
            return typed
        if typed["refrigerant"] in FLAMMABLE:
            self.cautions = (FLAME, *self.cautions)
        for finding in flow_problems(self._job(typed)):
            if finding.code != too_hot().code:
                self.add_error(finding.field, say(finding.message))
        return typed

    def _job(self, typed: dict[str, Any]) -> FlowJob:
        shell, target = typed["shell"], typed["target"]
        return FlowJob(
            can=small_can(
                typed["refrigerant"],
                typed["net"].mass.grams / 1000,
                shell.mass.grams / 1000 if shell is not None else None,
            ),
            kelvin=typed["can_at"],
            system=typed["system_at"],
            volume=float(typed["litres"]) / 1000,
            target=target.mass.grams / 1000 if target is not None else 0.0,
            air=self.here.air,
        )

    def answer(self) -> Answer:
        gauge = self.cleaned_data["gauge"]
        pressure = gauge.absolute(self.here.air) if gauge is not None else None
        return flow_answer(self._job(self.cleaned_data), heel_pressure=pressure)
