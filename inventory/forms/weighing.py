"""One weigh ticket of a container in the cabinet."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.core.weighing import Style
from inventory.forms.asking import AskingForm
from inventory.models import Container
from inventory.services import TicketIn
from shop.forms import ReadingField, ScaleChoice, reading_on


class WeighForm(AskingForm):
    """On which scale, what it shows, what else was on the pan."""

    scale = ScaleChoice()
    reading = ReadingField(label="The scale says")
    style = forms.ChoiceField(
        label="On the pan",
        choices=[(style.value, style.value.capitalize()) for style in (Style.BARE, Style.TAP)],
        initial=Style.BARE.value,
        help_text="On the shelf a can stands bare; with its tap only if the tap stays on it.",
    )

    def __init__(self, data: Any = None, *, container: Container, scales: Any, **rest: Any) -> None:
        super().__init__(data, **rest)
        if container.kind == "cylinder":
            del self.fields["style"]
        self.fields["scale"].queryset = scales  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        scale = self.cleaned_data.get("scale")
        self.read = reading_on(scale, self, "reading") if scale is not None else None
        return self.cleaned_data

    def ticket(self) -> TicketIn:
        assert self.read is not None  # noqa: S101 - an unread reading made the form invalid
        return TicketIn(
            self.cleaned_data["scale"], self.read, Style(self.cleaned_data.get("style", Style.BARE))
        )
