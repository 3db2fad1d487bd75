"""What does this vacuum gauge tell? One reading, or three of a hold."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from compliance.core.evacuation import Told, VacuumReadings, told
from compliance.core.evacuation_words import evacuation_answer
from compliance.forms.sums.base import SumForm
from shop.core.answer import Answer
from shop.core.cautions import UNDER_VACUUM
from shop.forms import BAROMETER, TEMPERATURE, VACUUM, GaugeField, WholeField
from shop.http import say


class VacuumSum(SumForm):
    name = "vacuum"
    title = _("What does this vacuum tell?")
    purpose = _(
        "Where water boils under a gauge's reading, and whether a rise looks like a leak or like moisture."
    )
    cautions = (UNDER_VACUUM,)
    deepest = GaugeField(VACUUM, label=_("Reading"), help_text=_("When a hold began, if you have three."))
    hold_middle = GaugeField(VACUUM, label=_("Half way through the hold"), required=False)
    hold_to = GaugeField(VACUUM, label=_("At its end"), required=False)
    minutes = WholeField(label=_("Minutes of the hold"), least=1, most=5760, required=False)
    barometer = GaugeField(
        BAROMETER, label=_("Barometer"), required=False, help_text=_("What it shows here, if you have one.")
    )
    temperature = GaugeField(TEMPERATURE, label=_("Bay temperature"), required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("hold_to") and not cleaned.get("minutes") and "minutes" not in self.errors:
            self.add_error("minutes", _("Type the minutes of the hold."))
        if cleaned.get("hold_middle") and not cleaned.get("hold_to") and "hold_to" not in self.errors:
            self.add_error("hold_to", _("Type the reading at the end of the hold too."))
        for finding in self._told(cleaned).findings:
            if finding.blocks and finding.field in self.fields and finding.field not in self.errors:
                self.add_error(finding.field, say(finding.message))
        return cleaned

    def _told(self, typed: dict[str, Any]) -> Told:
        names = ("deepest", "hold_middle", "hold_to", "barometer", "temperature")
        said = {name: typed.get(name) or "" for name in names}
        held = said["deepest"] if said["hold_to"] else ""
        return told(VacuumReadings(hold_from=held, minutes=typed.get("minutes") or 0, **said), self.here)

    def answer(self) -> Answer:
        return evacuation_answer(self._told(self.cleaned_data))
