"""Forms that put containers right: two swapped cans, a cylinder that is mixed."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.forms.numbers import NumberField, can_numbered
from inventory.models import Container
from inventory.services import SwapIn, TicketIn
from shop.forms import MomentField, ReadingField, ScaleChoice, line, reading_on
from shop.models import Establishment


class SwapForm(forms.Form):
    """Two cans that are weighed now, on one scale."""

    heavier = NumberField(label=_("The can that is heavier than it should be"))
    heavier_reading = ReadingField(label=_("It weighs now"))
    lighter = NumberField(label=_("The can that is lighter than it should be"))
    lighter_reading = ReadingField(label=_("That one weighs now"))
    scale = ScaleChoice(label=_("Scale"))
    why = line(200, label=_("How it came"), help_text=_("For example: both stood open on the bench"))

    def __init__(self, *args: Any, shop: Establishment, scales: Any, **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.shop = shop
        self.fields["scale"].queryset = scales  # type: ignore[attr-defined]

    def clean_heavier(self) -> Container:
        return can_numbered(self.cleaned_data["heavier"], self.shop)

    def clean_lighter(self) -> Container:
        return can_numbered(self.cleaned_data["lighter"], self.shop)

    def clean(self) -> dict[str, Any]:
        scale = self.cleaned_data.get("scale")
        if scale is not None:
            self.read = {
                name: reading_on(scale, self, name) for name in ("heavier_reading", "lighter_reading")
            }
        return self.cleaned_data

    def swap(self) -> SwapIn:
        typed = self.cleaned_data
        heavier, lighter = self.read["heavier_reading"], self.read["lighter_reading"]
        assert heavier is not None  # noqa: S101 - an unread reading made the form invalid
        assert lighter is not None  # noqa: S101
        return SwapIn(
            typed["heavier"],
            typed["lighter"],
            TicketIn(typed["scale"], heavier),
            TicketIn(typed["scale"], lighter),
            typed["why"],
        )


class MixedForm(forms.Form):
    since = MomentField(label=_("Mixed since"))
    why = line(200, label=_("How it came"), help_text=_("For example: 50 g of a mixed car went in"))
