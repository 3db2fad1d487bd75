"""What several answers and requests hold: masses, readings, things of this shop."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema_serializer
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail

from shop.core.findings import Finding
from shop.core.mass import Mass, Reading, Unit
from shop.core.reading import read_mass
from shop.forms.fields import FIRST_DAY
from shop.http import say
from shop.models import Equipment, Establishment

UNITS = [unit.value for unit in Unit]
Things = Callable[[Establishment], QuerySet[Any]]


@extend_schema_serializer(component_name="Mass")
class MassOut(serializers.Serializer[Any]):
    """A mass three ways: as typed, its unit, and the exact whole micrograms it stands for.

    Given a ``Mass`` it is told in grams. ``typed=("text", "unit", "mass")`` names the attributes of a row that
    keeps what somebody typed; use it with ``source="*"``, and with ``allow_null`` where that may be nothing.
    """

    value = serializers.CharField(
        help_text='Exact: as typed ("11.6", "1 lb 4.5 oz"), or in grams when reckoned.'
    )
    unit = serializers.ChoiceField(UNITS)
    micrograms = serializers.IntegerField()

    def __init__(self, *args: Any, typed: tuple[str, str, str] | None = None, **rest: Any) -> None:
        self.typed = typed
        super().__init__(*args, **({"read_only": True} | rest))

    def to_representation(self, instance: Any) -> Any:
        if isinstance(instance, Mass):
            return {"value": f"{instance.to(Unit.G).normalize():f}", "unit": "g", "micrograms": instance.ug}
        if isinstance(instance, Reading):
            return {"value": instance.text, "unit": instance.unit, "micrograms": instance.mass.ug}
        text, unit, mass = (getattr(instance, name) for name in self.typed or ())
        return None if mass is None or not unit else {"value": text, "unit": str(unit), "micrograms": mass.ug}


@extend_schema_serializer(component_name="MassIn")
class ReadingIn(serializers.Serializer[Any]):
    """A mass as typed, with its unit. Validates to a ``Reading``; a comma may stand for the point."""

    value = serializers.CharField(
        max_length=40, help_text="As the scale shows it, for example 466 or 1 lb 4.5 oz."
    )
    unit = serializers.ChoiceField(UNITS)

    def to_internal_value(self, data: Any) -> Any:
        said = super().to_internal_value(data)
        reading, findings = read_mass(said["value"], Unit(said["unit"]), field="value")
        if reading is None:
            raise serializers.ValidationError({"value": problems(findings)})
        return reading


def on_scale(scale: Equipment, reading: Reading, field: str = "reading") -> Reading:
    """The same reading under the scale's unit and division: what that scale can show, or a ``ValidationError``."""
    typed = reading.text if reading.unit is Unit.LB_OZ else f"{reading.text} {reading.unit}"
    shown, findings = read_mass(typed, Unit(scale.unit), division=scale.division, field=field)
    if shown is None:
        raise serializers.ValidationError({field: problems(findings)})
    return shown


def problems(findings: list[Finding]) -> list[ErrorDetail]:
    """Findings of the core as errors of a field, each under its own code."""
    return [ErrorDetail(say(one.message), one.code) for one in findings if one.blocks]


class FewOf(serializers.ListField):
    """A list of at most ``max_length``: a longer one is refused before any of its items is looked at."""

    def __init__(self, *, max_length: int, **rest: Any) -> None:
        super().__init__(max_length=max_length, **rest)

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, list) and len(data) > (most := self.max_length or 0):
            self.fail("max_length", max_length=most)
        return super().to_internal_value(data)


class Seen(FewOf):
    """Warnings that somebody read and answered with "keep it", by their codes."""

    def __init__(self, **rest: Any) -> None:
        said = _("Codes of warnings that were read and answered with: keep it.")
        child = serializers.CharField(max_length=60)
        super().__init__(child=child, required=False, default=list, max_length=30, help_text=said, **rest)


class OneOf(serializers.CharField):
    """A thing of this shop by its name or code. ``rows`` takes the establishment and gives what may be named."""

    default_error_messages = {"unknown": _("Nothing here is called “{value}”.")}

    def __init__(self, by: str, rows: Things, **rest: Any) -> None:
        self.by, self.rows = by, rows
        super().__init__(**({"max_length": 120} | rest))

    def run_validation(self, data: Any = serializers.empty) -> Any:
        named = super().run_validation(data)
        if not named:
            return None
        rows = self.rows(self.context["view"].house).filter(**{self.by: named})
        found = next(iter(rows[:1]), None)  # two people may have one name, and one person two cards
        if found is None:
            self.fail("unknown", value=named)
        return found


def several(kind: type[serializers.Serializer[Any]], *rows: Any, **rest: Any) -> Any:
    """A list of what a serializer reads or tells; ``max_length`` is the most that it reads."""
    return kind(*rows, many=True, **rest)


class SeveralOf(FewOf):
    """Things of this shop by their names or codes, read in one query; each of them once."""

    default_error_messages = {
        "unknown": OneOf.default_error_messages["unknown"],
        "twice": _("“{value}” stands here twice."),
    }

    def __init__(self, by: str, rows: Things, **rest: Any) -> None:
        self.by, self.rows = by, rows
        child = serializers.CharField(max_length=120)
        super().__init__(child=child, **({"max_length": 2000} | rest))

    def to_internal_value(self, data: Any) -> Any:
        named = super().to_internal_value(data)
        found = self.rows(self.context["view"].house).filter(**{f"{self.by}__in": named})
        known = {getattr(one, self.by): one for one in found}
        wrong, seen = dict[Any, Any](), set[str]()
        for number, name in enumerate(named):
            if name not in known or name in seen:
                code = "twice" if name in seen else "unknown"
                sentence = str(self.error_messages[code]).format(value=name)
                wrong[number] = [ErrorDetail(sentence, code)]
            seen.add(name)
        if wrong:
            raise serializers.ValidationError(wrong)
        return [known[name] for name in named]


class NamesOf(serializers.ListField):
    """Rows as a list of what each is called: ``name`` is the attribute that says it."""

    def __init__(self, name: str, **rest: Any) -> None:
        self.name = name
        super().__init__(child=serializers.CharField(), read_only=True, **rest)

    def to_representation(self, data: Any) -> list[str]:
        rows = data.all() if hasattr(data, "all") else data
        return [str(getattr(one, self.name)) for one in rows]


def plain(data: Any) -> bool:
    """Whether a text is in the signs of ASCII: ``int`` and the dates of Django read the digits of any script."""
    return not isinstance(data, str) or data.isascii()


class WholeIn(serializers.IntegerField):
    """A whole number in the digits 0 to 9."""

    default_error_messages = {"digits": _("Write this number in the digits 0 to 9.")}

    def to_internal_value(self, data: Any) -> int:
        if not plain(data):
            self.fail("digits")
        whole: int = super().to_internal_value(data)
        return whole


class DayIn(serializers.DateField):
    """A day as year-month-day, from 1900 on."""

    default_error_messages = {
        "early": _("The year {year} cannot be meant."),
        "digits": WholeIn.default_error_messages["digits"],
    }

    def to_internal_value(self, value: Any) -> date:
        if not plain(value):
            self.fail("digits")
        day: date = super().to_internal_value(value)
        if day < FIRST_DAY:
            self.fail("early", year=f"{day.year:04d}")
        return day


class MomentIn(serializers.DateTimeField):
    """A day and a time with its offset, in the digits 0 to 9."""

    default_error_messages = {"digits": WholeIn.default_error_messages["digits"]}

    def to_internal_value(self, value: Any) -> datetime:
        if not plain(value):
            self.fail("digits")
        moment: datetime = super().to_internal_value(value)
        return moment
