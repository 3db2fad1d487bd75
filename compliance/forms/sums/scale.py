"""Can this scale show the label's tolerance with so many cans?"""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.scale_fit import ScaleJob, scale_answer, scale_fit
from compliance.forms.sums.base import SumForm
from shop.core.answer import Answer
from shop.core.mass import Unit
from shop.forms import MassField, WholeField

WEIGHED = (Unit.G, Unit.OZ)


class ScaleSum(SumForm):
    name = "scale"
    title = _("Is this scale good enough?")
    purpose = _("Before the first can: can this scale show the label's tolerance?")
    division = MassField(
        label=_("The scale shows steps of"), units=WEIGHED, help_text=_("For example 1 g or 0.1 oz.")
    )
    cans = WholeField(label=_("Cans it will take"), least=1, most=12)
    tolerance = MassField(label=_("Tolerance on the label, either way"), units=WEIGHED)
    charge = MassField(label=_("Charge on the label"), units=WEIGHED, required=False)

    def clean_division(self) -> object:
        return self._more_than_zero("division")

    def clean_tolerance(self) -> object:
        return self._more_than_zero("tolerance")

    def _more_than_zero(self, field: str) -> object:
        typed = self.cleaned_data[field]
        if typed is not None and typed.mass.ug <= 0:
            raise forms.ValidationError(_("Type more than zero."))
        return typed

    def answer(self) -> Answer:
        typed, rules = self.cleaned_data, self.rules
        charge = typed["charge"]
        job = ScaleJob(
            division=typed["division"].mass,
            cans=typed["cans"],
            tolerance=typed["tolerance"].mass,
            gain=float(rules.scale_gain_percent) / 100,
            hoses_g=float(rules.hose_give_or_take_g),
            **({"label": charge.mass} if charge is not None else {}),
        )
        return scale_answer(scale_fit(job))
