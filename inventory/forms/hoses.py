"""The measurement of a hose set: four weights of one can. And the day from which its result is the shop's rule."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.core.weighing import Style
from inventory.forms.numbers import NumberField, can_numbered
from inventory.models import Container, HoseMeasure
from inventory.queries import takes_recovered
from inventory.services import HoseMeasureIn
from inventory.services.hoses import FIELDS
from shop.core.mass import Reading
from shop.forms import DayField, ReadingField, ScaleChoice, line, reading_on
from shop.models import Establishment


class HoseForm(forms.Form):
    hoses = line(30, label=_("Hose set"), help_text=_("What is written on it here, for example H-1."))
    left = forms.ChoiceField(
        label=_("How a charge ends here"),
        choices=[(one.value, _(one.label)) for one in HoseMeasure.Left],
        widget=forms.RadioSelect,
    )
    can = NumberField(label=_("Can"), help_text=_("Its number, for example K-0311. An open one will do."))
    scale = ScaleChoice(label=_("Scale"))
    style = forms.ChoiceField(
        label=_("On the pan, all four times"),
        choices=[(one.value, _(one.value)) for one in (Style.BARE, Style.TAP)],
        initial=Style.BARE.value,
    )
    before = ReadingField(label=_("Can before the first filling"))
    first = ReadingField(label=_("Can after the first filling"))
    second = ReadingField(label=_("Can after the second filling"))
    third = ReadingField(label=_("Can after the third filling"))
    cylinder = forms.ModelChoiceField(
        label=_("Recovered into"), queryset=Container.objects.none(), empty_label=_("Choose")
    )

    def __init__(self, *args: Any, shop: Establishment, scales: Any, **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.shop = shop
        self.fields["scale"].queryset = scales  # type: ignore[attr-defined]
        self.fields["cylinder"].queryset = takes_recovered(shop)  # type: ignore[attr-defined]

    def clean_can(self) -> Container:
        return can_numbered(self.cleaned_data["can"], self.shop)

    def clean(self) -> dict[str, Any]:
        scale = self.cleaned_data.get("scale")
        if scale is not None:
            self.read = [reading_on(scale, self, name) for name in FIELDS]
        return self.cleaned_data

    def measured(self) -> HoseMeasureIn:
        typed = self.cleaned_data
        return HoseMeasureIn(
            hoses=typed["hoses"],
            left=typed["left"],
            can=typed["can"],
            cylinder=typed["cylinder"],
            scale=typed["scale"],
            style=Style(typed["style"]),
            readings=self._four(),
        )

    def _four(self) -> tuple[Reading, Reading, Reading, Reading]:
        before, first, second, third = self.read
        assert before and first and second and third  # noqa: S101, PT018 - an unread one made the form invalid
        return before, first, second, third


class AdoptForm(forms.Form):
    """From which day the shop allows what was measured."""

    from_day = DayField(
        label=_("From"), help_text=_("Today or a later day. Work already done keeps its rule.")
    )
