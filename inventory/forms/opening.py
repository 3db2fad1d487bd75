"""The opening count as a form: sealed cans by kind, lot and number, open ones by weight."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from inventory.forms.rows import BOX, Rows, TypeChoice
from inventory.services import OpenCanIn, OpeningIn, TicketIn
from shop.forms import ReadingField, ScaleChoice, WholeField, line, reading_on

OPEN = ("open_type", "open_reading", "open_lot")


class OpeningForm(Rows):
    """Cans that stood in the cabinet before the book. As many lines of sealed ones as of open ones."""

    row_names = ("type", "cans", "lot")
    scale = ScaleChoice(label=_("Scale for the open cans"), required=False, template_name=BOX)

    def __init__(self, data: Any = None, *, scales: Any, **rest: Any) -> None:
        super().__init__(data, **rest)
        self.fields["scale"].queryset = scales  # type: ignore[attr-defined]

    def row_fields(self, number: int) -> dict[str, forms.Field]:
        return {
            "type": TypeChoice(label=_("What")),
            "cans": WholeField(label=_("Sealed cans"), required=False, least=1, most=500, template_name=BOX),
            "lot": line(40, label=_("Lot, if it is printed"), required=False, template_name=BOX),
            "open_type": TypeChoice(label=_("What")),
            "open_reading": ReadingField(label=_("It weighs, bare"), required=False, template_name=BOX),
            "open_lot": line(40, label=_("Lot, if it is printed"), required=False, template_name=BOX),
        }

    def open_lines(self) -> list[list[forms.BoundField]]:
        """The bound fields of open cans, row by row, for the template."""
        return [[self[f"{name}_{number}"] for name in OPEN] for number in range(self.count)]

    def clean(self) -> dict[str, Any]:
        every = range(self.count)
        weighed = [number for number in every if not self._blank(number, OPEN)]
        self.used = [
            number
            for number in every
            if not self._blank(number, self.row_names) or (number == 0 and not weighed)
        ]
        for number in self.used:
            self._ask(f"type_{number}", gettext("Choose the kind of can."))
            self._ask(f"cans_{number}", gettext("Type how many sealed cans there are."))
        scale = self.cleaned_data.get("scale")
        if weighed and scale is None and "scale" not in self.errors:
            self.add_error("scale", gettext("Choose the scale that the open cans were weighed on."))
        for number in weighed:
            self._ask(f"open_type_{number}", gettext("Choose the kind of can."))
            self._ask(f"open_reading_{number}", gettext("Type what the scale shows."))
        self.opened = [
            (number, TicketIn(scale, reading))
            for number in weighed
            if scale is not None and (reading := reading_on(scale, self, f"open_reading_{number}"))
        ]
        return self.cleaned_data

    def _blank(self, number: int, names: tuple[str, ...]) -> bool:
        return not any(self.typed(number, name) or f"{name}_{number}" in self.errors for name in names)

    def _ask(self, field: str, sentence: str) -> None:
        if self.cleaned_data.get(field) in (None, "") and field not in self.errors:
            self.add_error(field, sentence)

    def stock(self) -> tuple[OpeningIn | OpenCanIn, ...]:
        sealed = [
            OpeningIn(
                self.typed(number, "type"),
                self.typed(number, "cans"),
                self.typed(number, "lot") or "",
                field=f"cans_{number}",
            )
            for number in self.used
        ]
        opened = [
            OpenCanIn(
                self.typed(number, "open_type"),
                ticket,
                self.typed(number, "open_lot") or "",
                field=f"open_reading_{number}",
            )
            for number, ticket in self.opened
        ]
        return (*sealed, *opened)
