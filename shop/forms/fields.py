"""Fields that more than one app asks for: a mass as typed, dollars, a day."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.core.findings import Finding
from shop.core.mass import Mass, Reading, Unit
from shop.core.phrase import in_language
from shop.core.reading import read_mass
from shop.core.scale_line import read_scale_line
from shop.forms.widgets import ReadingInput, ScaleSelect
from shop.models import Equipment

UNIT_NAMES = {
    Unit.G: "g",
    Unit.KG: "kg",
    Unit.OZ: "oz",
    Unit.LB: "lb",
    Unit.LB_OZ: "lb and oz",
}
NO_SPINNER = {
    "inputmode": "decimal",
    "autocomplete": "off",
}  # a wheel over a number field changes it silently
DOLLARS = re.compile(r"^\$?\s*(\d{1,3}(?:,\d{3})+|\d+)(?:\.(\d{1,2}))?$", re.ASCII)
FIRST_DAY = date(1900, 1, 1)
LONGEST_BESIDE = 80  # characters: a scale's code, a blank and a line


def sentences(findings: list[Finding]) -> list[ValidationError]:
    """The findings that block, as errors of a form field."""
    return [
        ValidationError(in_language(finding.message, gettext), code=finding.code)
        for finding in findings
        if finding.blocks
    ]


class MassWidget(forms.MultiWidget):
    """A box for the number and, beside it, a list of units: NAME and NAME_unit."""

    use_fieldset = False

    def __init__(self, units: tuple[Unit, ...]) -> None:
        number = forms.TextInput(NO_SPINNER)
        unit = forms.Select({"aria-label": "Unit"}, [(one.value, UNIT_NAMES[one]) for one in units])
        super().__init__({"": number, "unit": unit}, {"class": "mass"})

    def decompress(self, value: Any) -> list[str | None]:
        return [value.text, value.unit.value] if isinstance(value, Reading) else [None, None]

    def id_for_label(self, id_: str) -> str:
        return f"{id_}_0"


class MassField(forms.MultiValueField):
    """A mass typed as a number with its unit; cleans to a ``Reading`` (None when left empty and not required).

    ``units`` are offered in this order, the first one to begin with. ``division`` is what the scale shows; without
    one, any decimals go.
    """

    widget: MassWidget

    def __init__(
        self, *, units: tuple[Unit, ...] = (Unit.G, Unit.OZ), division: Mass | None = None, **rest: Any
    ) -> None:
        self.division = division
        parts = (
            forms.CharField(required=False, max_length=40),
            forms.ChoiceField(choices=[(one.value, UNIT_NAMES[one]) for one in units]),
        )
        missing = {"required": "Type the number; its unit stands beside it."}
        super().__init__(
            parts,
            widget=MassWidget(units),
            require_all_fields=False,
            error_messages=missing | rest.pop("error_messages", {}),
            **rest,
        )

    def clean(self, value: Any) -> Reading | None:
        text = str((value or [""])[0] or "").strip()
        if not text and self.required:
            raise ValidationError(self.error_messages["required"], code="required")
        if not text:
            return None
        reading: Reading | None = super().clean([text, value[1] if value and len(value) > 1 else ""])
        return reading

    def compress(self, data_list: list[Any]) -> Reading | None:
        text, unit = (data_list or ["", Unit.G])[:2]
        reading, findings = read_mass(text, Unit(unit), division=self.division)
        if reading is None:
            raise ValidationError(sentences(findings))
        return reading


class ReadingField(forms.CharField):
    """What a scale shows, typed or taken from it. Its unit and division belong to the scale: ``reading_on`` reads it,
    and ``taken`` says whether the scale's own line stands behind it."""

    widget: ReadingInput

    def __init__(self, *, max_length: int = 40, **rest: Any) -> None:
        missing = {"required": _("Type what the scale shows.")}
        widget = ReadingInput(NO_SPINNER | {"class": "reading"})
        super().__init__(max_length=max_length, widget=widget, error_messages=missing, **rest)

    def get_bound_field(self, form: forms.BaseForm, field_name: str) -> forms.BoundField:
        """The line stays with the number when the page comes back."""
        self.widget.line = _line_beside(form, field_name)
        return super().get_bound_field(form, field_name)


class ScaleChoice(forms.ModelChoiceField):  # type: ignore[type-arg] # not subscriptable at run time
    """One of the scales in service, told with its steps. Offer them with ``field.queryset = …``."""

    def __init__(self, **rest: Any) -> None:
        super().__init__(Equipment.objects.none(), empty_label="Choose", widget=ScaleSelect(), **rest)

    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.code}, steps of {obj.division_text} {obj.unit}"


def reading_on(scale: Equipment, form: forms.BaseForm, name: str) -> Reading | None:
    """Read a ``ReadingField`` of the form in the scale's unit and division; what is wrong stands beside it."""
    text = str(form.cleaned_data.get(name) or "")
    if not text:
        return None
    reading, findings = read_mass(text, Unit(scale.unit), division=scale.division, field=name)
    for error in sentences(findings) if reading is None else []:
        form.add_error(name, error)
    return taken(reading, scale, form, name) if reading is not None else None


def taken(reading: Reading, scale: Equipment, form: forms.BaseForm, name: str) -> Reading:
    """The reading with the line that this very scale sent for it; without one when a hand typed or changed it."""
    code, _space, line = _line_beside(form, name).partition(" ")
    said = read_scale_line(line)
    theirs = code == scale.code and said.is_weight and said.unit is reading.unit
    return replace(reading, line=line) if theirs and Decimal(said.text) == Decimal(reading.text) else reading


def _line_beside(form: forms.BaseForm, name: str) -> str:
    """What the page's script put beside a reading that it took from a scale: the scale's code, a blank, its line."""
    given = form.data if form.is_bound else form.initial
    line = str(given.get(f"{form.add_prefix(name)}_line") or "")[:LONGEST_BESIDE]
    return line if line.isprintable() else ""


class DollarField(forms.CharField):
    """Dollars such as 642.18 or $1,642.18; cleans to whole cents (None when left empty and not required)."""

    def __init__(self, *, most_cents: int = 10_000_000, **rest: Any) -> None:
        self.most_cents = most_cents
        missing = {"required": "Type the dollars, for example 642.18."}
        super().__init__(max_length=20, widget=forms.TextInput(NO_SPINNER), error_messages=missing, **rest)

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        typed = DOLLARS.match(text)
        if typed is None:
            raise ValidationError("Type dollars and cents, for example 642.18. A credit has its own place.")
        whole, part = typed.groups()
        cents = int(whole.replace(",", "")) * 100 + int((part or "").ljust(2, "0"))
        if cents > self.most_cents:
            raise ValidationError(f"At most ${self.most_cents // 100:,}. Read the paper again.")
        return cents


class DayField(forms.DateField):
    """A day, picked or typed as 2026-04-02 or 4/2/2026."""

    def __init__(self, **rest: Any) -> None:
        super().__init__(
            widget=forms.DateInput({"type": "date"}, format="%Y-%m-%d"),
            input_formats=["%Y-%m-%d", "%m/%d/%Y"],
            error_messages={
                "required": "Pick the day.",
                "invalid": "Type the day as year-month-day, for example 2026-04-02.",
            },
            **rest,
        )

    def clean(self, value: Any) -> Any:
        day = super().clean(value)
        if day is not None and day < FIRST_DAY:
            raise ValidationError(
                f"The year {day.year:04d} cannot be meant. Type all four digits of the year."
            )
        return day


class WholeField(forms.CharField):
    """A whole number, typed; cleans to an int (None when left empty and not required). No spinner."""

    def __init__(self, *, least: int = 0, most: int = 9999, **rest: Any) -> None:
        self.least, self.most = least, most
        missing = {"required": "Type a whole number."}
        attrs = {"inputmode": "numeric", "autocomplete": "off", "class": "whole"}
        super().__init__(max_length=12, widget=forms.TextInput(attrs), error_messages=missing, **rest)

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        try:
            number = Decimal(text)
        except InvalidOperation:
            number = Decimal("NaN")
        if not number.is_finite() or number != number.to_integral_value():
            raise ValidationError(f"Type a whole number, from {self.least} to {self.most}.")
        if not self.least <= number <= self.most:
            raise ValidationError(f"Type a number from {self.least} to {self.most}.")
        return int(number)


def line(most: int, **rest: Any) -> forms.CharField:
    """One line of text, no longer than its column."""
    return forms.CharField(max_length=most, **rest)
