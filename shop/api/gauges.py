"""Readings of gauges: what was typed and its unit, two fields each; kept as one text ("600 micron")."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema_serializer
from rest_framework import serializers

from shop.core.gauge import BARE
from shop.forms import BAROMETER, HUMIDITY, PRESSURE, TEMPERATURE, VACUUM

LONGEST = 24  # characters, unit and all: the widest column of a reading


class GaugeIn(serializers.Serializer[Any]):
    """A number as a gauge shows it, with its unit. Validates to the text that is kept, "" for none."""

    units: tuple[str, ...] = ()
    default_error_messages = {
        "number": _("Type the number only; its unit stands beside it."),
        "long": _("Type the reading in at most 24 characters."),
    }

    value = serializers.CharField(max_length=LONGEST, help_text="As the gauge shows it, for example 29.2.")

    def __init__(self, **rest: Any) -> None:
        empty: dict[str, Any] = {"default": "", "allow_null": True} if rest.get("required") is False else {}
        super().__init__(**empty, **rest)

    def get_fields(self) -> Any:
        return super().get_fields() | {"unit": serializers.ChoiceField(self.units)}

    def run_validation(self, data: Any = serializers.empty) -> Any:
        return super().run_validation(data) or ""

    def to_internal_value(self, data: Any) -> Any:
        said = super().to_internal_value(data)
        if not BARE.match(said["value"]):
            raise serializers.ValidationError({"value": [self.error_messages["number"]]}, code="number")
        text = f"{said['value']} {said['unit']}"
        if len(text) > LONGEST:
            raise serializers.ValidationError({"value": [self.error_messages["long"]]}, code="long")
        return text


class VacuumIn(GaugeIn):
    """What a vacuum gauge shows."""

    units = VACUUM


class PressureIn(GaugeIn):
    """What a manifold gauge shows."""

    units = PRESSURE


class TemperatureIn(GaugeIn):
    """What a thermometer shows."""

    units = TEMPERATURE


class BarometerIn(GaugeIn):
    """What a barometer shows where it hangs; a weather report is corrected to sea level."""

    units = BAROMETER


class HumidityIn(GaugeIn):
    """Humidity of air, or one of the two temperatures that stand for it."""

    units = HUMIDITY


class SpeedIn(GaugeIn):
    """Turns of the engine."""

    units = ("rpm",)


@extend_schema_serializer(component_name="Reading")
class GaugeOut(serializers.Serializer[Any]):
    """A gauge's reading as typed: the number and its unit, which may be empty."""

    value = serializers.CharField()
    unit = serializers.CharField()

    def __init__(self, **rest: Any) -> None:
        super().__init__(read_only=True, allow_null=True, **rest)

    def to_representation(self, instance: Any) -> Any:
        value, _space, unit = str(instance).partition(" ")
        return {"value": value, "unit": unit} if value else None
