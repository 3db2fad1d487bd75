"""Boxes that a device may fill: a weight that a scale sends, and the scale that it comes from."""

from __future__ import annotations

from typing import Any

from django import forms
from django.forms.widgets import Script

from shop.core.mass import Unit
from shop.core.reading import step_of
from shop.core.scale_line import GRAMMAR, LONGEST, OVER, TWO_WAYS

TYPED_AS_IT_IS = {"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}


class ScanInput(forms.TextInput):
    """The number of a can, scanned or typed, with a button for the camera where the browser offers to read codes."""

    template_name = "shop/widgets/scan.html"

    class Media:
        js = [Script("shop/camera.js", defer=True)]

    def __init__(self) -> None:
        super().__init__({**TYPED_AS_IT_IS, "data-scan": True})


class ScanArea(forms.Textarea):
    """Numbers one after the other, as a scanner types them; the camera adds one at a time."""

    template_name = "shop/widgets/scan_many.html"
    Media = ScanInput.Media

    def __init__(self) -> None:
        super().__init__({**TYPED_AS_IT_IS, "rows": 3, "data-scan": True})


class ReadingInput(forms.TextInput):
    """A weight, and hidden beside it the line that a scale sent for it."""

    template_name = "shop/widgets/reading.html"
    line = ""

    def get_context(self, name: str, value: Any, attrs: Any) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        context["widget"]["line"] = self.line
        return context


class ScaleSelect(forms.Select):
    """A scale, with what the page has to know of it to take weights from it where the browser offers that."""

    template_name = "shop/widgets/scale.html"

    class Media:
        js = [Script("shop/scale.js", defer=True)]

    def create_option(self, name: str, value: Any, *rest: Any, **more: Any) -> dict[str, Any]:
        option = super().create_option(name, value, *rest, **more)
        scale = getattr(value, "instance", None)
        if scale is not None:
            step = step_of(scale.division, Unit(scale.unit))
            option["attrs"] |= {"data-code": scale.code, "data-unit": scale.unit, "data-step": f"{step:f}"}
        return option

    def get_context(self, name: str, value: Any, attrs: Any) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        patterns = {"line": GRAMMAR.replace("(?P<", "(?<"), "over": OVER, "two_ways": TWO_WAYS}
        context["widget"] |= {"patterns": patterns, "longest": LONGEST}
        return context
