"""Damaged cans, return slips and credits."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from inventory.forms.rows import BOX
from inventory.forms.slips import CanChoice
from inventory.models import Container, ReturnSlip
from inventory.services import CreditIn, DamageIn, ReturnIn, TicketIn
from shop.core.mass import Reading
from shop.forms import DayField, DollarField, ReadingField, ScaleChoice, line, reading_on
from shop.models import Equipment


class OptionalReading(ReadingField):
    """What the scale shows, if the can was put on it."""

    template_name = BOX

    def __init__(self, **rest: Any) -> None:
        super().__init__(required=False, **rest)
        self.template_name = BOX


class DamageForm(forms.Form):
    """What is wrong with a can, where it stands, and its weight if it hissed."""

    what = line(120, label=_("What is wrong with it"), help_text=_("For example: crushed seam, hissing."))
    where = line(120, label=_("Where it stands now"), help_text=_("Outside, upright, away from the door."))
    reading = OptionalReading(label=_("Did it hiss? What the scale shows"), help_text=_("Empty: not weighed"))
    scale = ScaleChoice(label=_("Scale"), required=False)

    def __init__(self, data: Any = None, *, scales: QuerySet[Equipment], **rest: Any) -> None:
        super().__init__(data, **rest)
        self.fields["scale"].queryset = scales  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        scale = self.cleaned_data.get("scale")
        self.read: Reading | None = None
        if self.cleaned_data.get("reading") and scale is None and "scale" not in self.errors:
            self.add_error("scale", _("Choose the scale it stands on."))
        elif scale is not None:
            self.read = reading_on(scale, self, "reading")
        return self.cleaned_data

    def damage(self) -> DamageIn:
        said = self.cleaned_data
        ticket = TicketIn(said["scale"], self.read) if self.read is not None else None
        return DamageIn(said["what"], said["where"], ticket)


class ReturnForm(forms.Form):
    """Which cans leave, where to, and who takes them."""

    cans = CanChoice(label=_("Cans that leave"), error_messages={"required": _("Tick the cans that leave.")})
    on = DayField(label=_("Leaves on"))
    to = forms.ChoiceField(
        label=_("Where they go"),
        choices=ReturnSlip.To.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _("Say where they go.")},
    )
    handed_to = line(80, label=_("Handed to"), help_text=_("The driver, or the facility."))
    reason = line(150, label=_("Why"), help_text=_("For example: crushed seam; wrong refrigerant sent."))

    def __init__(self, data: Any = None, *, cans: QuerySet[Container], **rest: Any) -> None:
        super().__init__(data, **rest)
        self.fields["cans"].queryset = cans  # type: ignore[attr-defined]

    def sent(self) -> ReturnIn:
        said = self.cleaned_data
        return ReturnIn(
            tuple(said["cans"]), said["on"], ReturnSlip.To(said["to"]), said["handed_to"], said["reason"]
        )


class CreditForm(forms.Form):
    """A credit note: its number, day and dollars."""

    number = line(40, label=_("Credit number"))
    dated = DayField(label=_("Credit date"))
    amount = DollarField(label=_("Amount"), help_text=_("0 when the supplier never billed it."))

    def credit(self) -> CreditIn:
        said = self.cleaned_data
        return CreditIn(said["number"], said["dated"], said["amount"])
