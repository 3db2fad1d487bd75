"""Fields of the sums that clean to a physical quantity: a temperature in K, a gauge's pressure, a length in m."""

from __future__ import annotations

from abc import abstractmethod
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from inventory.core.properties import FLUIDS
from shop.core.gauge import PressureShown, pressure_shown, shown, temperature_shown
from shop.forms import PRESSURE, TEMPERATURE, GaugeField

METRES = {"in": 0.0254, "ft": 0.3048, "mm": 0.001, "cm": 0.01, "m": 1.0}


class MeasuredField(GaugeField):
    """A number with its unit, read as a quantity; None when left empty and not required."""

    wrong: Any  # what to type instead

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text and not self.required:
            return None
        read = self.read(text)
        if read is None:
            raise ValidationError(self.wrong)
        return read

    @abstractmethod
    def read(self, text: str) -> Any:
        """The quantity, or None when the text is none."""


class TemperatureField(MeasuredField):
    """Cleans to K."""

    wrong = _("Type a temperature, for example 72 with unit °F.")

    def __init__(self, **rest: Any) -> None:
        super().__init__(TEMPERATURE, **rest)

    def read(self, text: str) -> float | None:
        return temperature_shown(text)


class PressureField(MeasuredField):
    """Cleans to what a manifold gauge showed."""

    wrong = _("Type what the gauge shows, for example 30 with unit psi.")

    def __init__(self, **rest: Any) -> None:
        super().__init__(PRESSURE, **rest)

    def read(self, text: str) -> PressureShown | None:
        return pressure_shown(text)


class LengthField(MeasuredField):
    """Cleans to m; ``units`` are offered in their order."""

    wrong = _("Type the number; its unit stands beside it. A quarter inch is 0.25.")

    def read(self, text: str) -> float | None:
        read = shown(text)
        return read.value * METRES[read.unit] if read is not None and read.unit in METRES else None


def refrigerant_field() -> forms.ChoiceField:
    """One of those whose properties are known here."""
    return forms.ChoiceField(label=_("Refrigerant"), choices=[(code, code) for code in FLUIDS])
