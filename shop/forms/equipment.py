"""Machines, scales, pumps, detectors and gauges, and their checks."""

from __future__ import annotations

from datetime import date
from typing import Any, TypedDict

from django import forms

from shop.core.mass import Unit
from shop.forms.fields import DayField, MassField, ReadingField, line, reading_on
from shop.models import Equipment
from shop.services import CheckIn, EquipmentIn

CODE = r"^[A-Z0-9][A-Z0-9-]{0,11}$"


class CodeField(forms.RegexField):
    """A short name that is written on the thing itself: letters, digits, dashes; kept in capitals."""

    def __init__(self, **rest: Any) -> None:
        sentence = "Use up to 12 letters, digits and dashes, for example SC-1."
        super().__init__(
            CODE,
            max_length=12,
            error_messages={"invalid": sentence},
            widget=forms.TextInput(
                {"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}
            ),
            **rest,
        )

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        return text.upper() if isinstance(text, str) else text


class EquipmentForm(forms.Form):
    """A nameplate, transcribed."""

    code = CodeField(label="Short name", help_text="What is written on it here, for example SC-1 or RE-2.")
    kind = forms.ChoiceField(choices=Equipment.Kind.choices)
    maker = line(80, label="Maker, as on the plate", required=False)
    model = line(80, required=False)
    serial = line(60, label="Serial number", required=False)
    made = line(30, label="Date of manufacture, as on the plate", required=False)
    in_service_on = DayField(label="In service here since")
    division = MassField(
        label="Division, as on the scale's plate",
        units=tuple(Unit),
        required=False,
        help_text="The smallest step the scale shows, for example 1 g or 0.1 oz. Scales only.",
    )
    does = forms.ChoiceField(
        label="What the machine does",
        choices=Equipment.Does.choices,
        required=False,
        initial=Equipment.Does.OTHER,
        help_text="Recovery machines only.",
    )
    refrigerants = line(
        120,
        label="Refrigerants on its plate",
        required=False,
        help_text="With commas between: R-134a, R-1234yf. Recovery machines only.",
    )
    standard = line(
        120,
        label="Standard and testing body on its plate",
        required=False,
        help_text="Copy the words of the plate, for example SAE J2788, tested by ….",
    )

    def equipment(self) -> EquipmentIn:
        said = self.cleaned_data
        is_scale = said["kind"] == Equipment.Kind.SCALE
        is_machine = said["kind"] == Equipment.Kind.MACHINE
        return EquipmentIn(
            code=said["code"],
            kind=said["kind"],
            in_service_on=said["in_service_on"],
            maker=said["maker"],
            model=said["model"],
            serial=said["serial"],
            made=said["made"],
            does=(said["does"] or Equipment.Does.OTHER) if is_machine else Equipment.Does.OTHER,
            refrigerants=", ".join(_names(said["refrigerants"])) if is_machine else "",
            standard=said["standard"],
            division=said["division"] if is_scale else None,
        )


def _names(text: str) -> list[str]:
    return [name.strip() for name in text.split(",") if name.strip()]


class CheckForm(forms.Form):
    """A check of a detector, pump or gauge: passed or not, against what."""

    on = DayField(label="Day of the check")
    against = line(
        120, label="Checked against", help_text="For example: leak standard 4 g a year, sealed February."
    )
    passed = forms.TypedChoiceField(
        label="Result",
        choices=[("yes", "Passed"), ("no", "Did not pass")],
        coerce=lambda word: word == "yes",
        widget=forms.RadioSelect,
    )
    note = line(200, required=False)

    def check(self) -> CheckIn:
        said = self.cleaned_data
        return CheckIn(said["on"], said["against"], passed=said["passed"], note=said["note"])


class ScaleCheckForm(forms.Form):
    """A check of a scale: a known weight and what the scale showed. Whether it passed follows from both."""

    on = DayField(label="Day of the check")
    against = line(120, label="Known weight used", help_text="For example: 500 g brass weight, bought 2024.")
    known = MassField(label="It weighs", units=tuple(Unit))
    shown = ReadingField(label="The scale showed")
    note = line(200, required=False)

    def __init__(self, *args: Any, scale: Equipment, **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.scale = scale
        self.fields[
            "shown"
        ].help_text = f"In {scale.unit}; {scale.code} shows steps of {scale.division_text}."

    def clean(self) -> dict[str, Any]:
        self.showed = reading_on(self.scale, self, "shown")
        return self.cleaned_data

    def check(self) -> CheckIn:
        said = self.cleaned_data
        return CheckIn(said["on"], said["against"], known=said["known"], shown=self.showed, note=said["note"])


class Retiring(TypedDict):
    """What ``retire_equipment`` takes."""

    last_day: date
    why: str


class RetireForm(forms.Form):
    """The day a piece of equipment went out of service, and why."""

    last_day = DayField(label="Last day in service")
    why = line(200, label="Why", help_text="For example: sold, broken, replaced by RE-3.")

    def retirement(self) -> Retiring:
        return Retiring(last_day=self.cleaned_data["last_day"], why=self.cleaned_data["why"])
