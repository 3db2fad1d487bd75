"""Fields of the bay: what a gauge shows, when something happened, grams."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.core.clock import pressed_instant
from shop.core.gauge import with_unit
from shop.forms.fields import NO_SPINNER

VACUUM = ("micron", "inHg", "mbar", "Pa")
PRESSURE = ("psi", "kPa", "bar")
TEMPERATURE = ("°F", "°C")
BAROMETER = ("inHg", "hPa", "mbar", "kPa")
HUMIDITY = ("% RH", "°F wet bulb", "°C wet bulb", "°F dew point", "°C dew point")


class GaugeWidget(forms.MultiWidget):
    """A box for what the gauge shows and, beside it, its unit: NAME and NAME_unit."""

    use_fieldset = False

    def __init__(self, units: Sequence[str]) -> None:
        number = forms.TextInput({"inputmode": "decimal", "autocomplete": "off", "class": "gauge"})
        unit = forms.Select({"aria-label": _("Unit")}, [(one, one) for one in units])
        super().__init__({"": number, "unit": unit}, {"class": "mass"})

    def decompress(self, value: Any) -> list[str | None]:
        number, _space, unit = str(value or "").partition(" ")
        return [number or None, unit or None]

    def id_for_label(self, id_: str) -> str:
        return f"{id_}_0"


class GaugeField(forms.MultiValueField):
    """A reading of a gauge, kept as text with its unit ("600 micron"). A bare number takes the unit beside it; a unit
    that was typed with the number stands."""

    def __init__(self, units: Sequence[str], **rest: Any) -> None:
        parts = (
            forms.CharField(required=False, max_length=24),
            forms.ChoiceField(choices=[(one, one) for one in units], required=False),
        )
        super().__init__(parts, widget=GaugeWidget(units), require_all_fields=False, **rest)
        self.units = tuple(units)

    def compress(self, data_list: list[Any]) -> str:
        text, unit = (data_list or ["", ""])[:2]
        said = with_unit(str(text or ""), unit or self.units[0])
        if len(said) > 24:
            raise ValidationError(_("Type the reading in at most 24 characters."))
        return said


class MomentWidget(forms.MultiWidget):
    """A clock time for people and, hidden beside it, the very instant when the clock was pressed."""

    use_fieldset = False

    def __init__(self) -> None:
        shown = forms.DateTimeInput({"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
        super().__init__({"": shown, "instant": forms.HiddenInput()})

    def decompress(self, value: Any) -> list[Any]:
        if isinstance(value, datetime):
            return [timezone.localtime(value), value.isoformat()]
        return [value, None]

    def id_for_label(self, id_: str) -> str:
        return f"{id_}_0"


class MomentField(forms.MultiValueField):
    """When something happened. The instant of a pressed button counts as long as the time shown was not changed, so
    that an hour which the clock strikes twice is told apart."""

    def __init__(self, **rest: Any) -> None:
        missing = {"required": _("Type the time."), "invalid": _("Type the day and the time.")}
        parts = (
            forms.DateTimeField(required=False, error_messages=missing),
            forms.CharField(required=False, max_length=40),
        )
        super().__init__(
            parts, widget=MomentWidget(), require_all_fields=False, error_messages=missing, **rest
        )

    def compress(self, data_list: list[Any]) -> datetime | None:
        typed, pressed = (data_list or [None, ""])[:2]
        instant = pressed_instant(pressed)
        if typed is not None and instant is not None:
            shown = timezone.localtime(instant).replace(second=0, microsecond=0)
            if shown.replace(tzinfo=None) == timezone.localtime(typed).replace(tzinfo=None):
                return instant
        answer: datetime | None = typed
        return answer


class GramsField(forms.DecimalField):
    """Grams typed as a plain number. No spinner: a wheel over a number field changes it silently."""

    def __init__(self, **rest: Any) -> None:
        super().__init__(widget=forms.TextInput(NO_SPINNER), **rest)
