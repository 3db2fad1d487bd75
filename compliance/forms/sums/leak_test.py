"""What could a leak-test hold see, and is the pressure enough for the detector?"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.cautions import cautions_at
from compliance.core.hold_readings import HoldTyped, Unknown, hold_of, hold_problems
from compliance.core.hold_words import leak_answer
from compliance.core.leak import LEAST_G, LEAST_L, MOST_G, MOST_L, see, u_put_in
from compliance.core.stages import StageKind
from compliance.forms.sums.base import SumForm
from inventory.core.properties import FLUIDS
from shop.core.answer import Answer
from shop.core.conditions import with_barometer
from shop.core.mass import Mass, Reading, Unit
from shop.forms import BAROMETER, PRESSURE, TEMPERATURE, GaugeField, MassField, WholeField
from shop.http import say


class LeakTestSum(SumForm):
    name = "leak-test"
    title = _("What could the leak-test hold see?")
    purpose = _("Blind or seeing at this temperature, and is the pressure enough for the detector?")
    refrigerant = forms.ChoiceField(label=_("Refrigerant"), choices=[(code, code) for code in FLUIDS])
    put_in = MassField(label=_("Put in for the test, by the scale"), units=(Unit.G, Unit.OZ))
    pressure_start = GaugeField(PRESSURE, label=_("Pressure at the start"))
    temperature = GaugeField(TEMPERATURE, label=_("Temperature at the start"))
    pressure_end = GaugeField(PRESSURE, label=_("Pressure at the end"), required=False)
    temperature_end = GaugeField(TEMPERATURE, label=_("Temperature at the end"), required=False)
    minutes = WholeField(label=_("Minutes of the hold"), least=1, most=2880, required=False)
    barometer = GaugeField(BAROMETER, label=_("Barometer"), required=False)
    volume = forms.DecimalField(
        label=_("Room inside the system, when a hold showed it, L"),
        required=False,
        min_value=LEAST_L,
        max_value=MOST_L,
        widget=forms.TextInput({"inputmode": "decimal", "autocomplete": "off"}),
    )

    def offer(self) -> None:
        said = str(self.data.get("refrigerant", ""))
        self.cautions = cautions_at(StageKind.LEAK_TEST, said)
        self.fields["minutes"].help_text = _("Empty: the shop's %(minutes)s min.") % {
            "minutes": int(self.rules.pressure_hold_minutes)
        }

    def clean_put_in(self) -> object:
        typed = self.cleaned_data["put_in"]
        if typed is not None and not LEAST_G <= typed.mass.grams <= MOST_G:
            raise forms.ValidationError(_("Type a leak-test charge from 20 to 1,500 g."))
        return typed

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        self.here, found = with_barometer(self.here, cleaned.get("barometer") or "")
        for finding in [*found, *hold_problems(self._typed(), self.here)]:
            self.add_error(finding.field, say(finding.message))
        return cleaned

    def _typed(self) -> HoldTyped:
        typed = self.cleaned_data
        put_in, volume = typed.get("put_in"), typed.get("volume")
        return HoldTyped(
            refrigerant=typed.get("refrigerant") or "",
            minutes=typed.get("minutes") or int(self.rules.pressure_hold_minutes),
            mass_g=put_in.mass.grams if put_in is not None else 0.0,
            u_mass_g=u_put_in([_last_digit_g(put_in)], float(self.rules.hose_allowance_g)),
            pressure_start=typed.get("pressure_start") or "",
            temperature=typed.get("temperature") or "",
            pressure_end=typed.get("pressure_end") or "",
            temperature_end=typed.get("temperature_end") or "",
            volume_l=float(volume) if volume is not None else None,
        )

    def answer(self) -> Answer:
        hold = hold_of(self._typed(), self.here)
        seen = hold if isinstance(hold, Unknown) else see(hold)
        return leak_answer(seen, float(self.rules.detector_g_year))


def _last_digit_g(reading: Reading | None) -> float:
    """One of the last digit typed, in g: the scale's steps are not asked here."""
    if reading is None:
        return 0.0
    places = len(reading.text.partition(".")[2])
    return Mass.of(Decimal(1).scaleb(-places), reading.unit).grams
