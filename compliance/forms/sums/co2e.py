"""CO2e of some refrigerant, by one named table."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.co2e import FEDERAL, TABLE, TABLES, co2e, co2e_answer
from compliance.forms.sums.base import SumForm
from inventory.core.chart import GASES
from shop.core.answer import Answer
from shop.core.mass import Unit
from shop.forms import MassField
from shop.http import say


class Co2eSum(SumForm):
    name = "co2e"
    title = _("CO2e of some refrigerant")
    purpose = _("One table at a time; its factor, edition and source stand beside the number.")
    refrigerant = forms.ChoiceField(label=_("Refrigerant"), choices=[(code, code) for code in GASES])
    mass = MassField(label=_("How much"), units=(Unit.G, Unit.OZ, Unit.LB, Unit.KG))
    table = forms.ChoiceField(label=_("Table"), initial=FEDERAL.key)

    def offer(self) -> None:
        self.fields["table"].choices = [(table.key, say(table.said)) for table in TABLES]  # type: ignore[attr-defined]

    def answer(self) -> Answer:
        typed = self.cleaned_data
        return co2e_answer(co2e(typed["mass"].mass, typed["refrigerant"], TABLE[typed["table"]]))
