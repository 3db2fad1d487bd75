"""609 cards: as printed, their images, who buys, who signs for the shop, who leaves."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from shop.core.findings import Refused
from shop.core.roles import Role
from shop.forms.fields import DayField, line, sentences
from shop.models import Establishment, Person
from shop.services import CardIn, FileIn, LeavingIn
from shop.services.papers import read_file


class FileChoice(forms.FileField):
    """A PDF or a photo. It is looked into while the form is read, before a transaction holds anything up."""

    def __init__(self, **rest: Any) -> None:
        missing = _("Choose a file first.")
        said = {"required": missing, "invalid": missing, "empty": _("The file is empty. Choose it again.")}
        super().__init__(
            help_text=_("PDF, JPEG, PNG or WebP, at most 10 MB. Where a photo was taken is not kept."),
            widget=forms.FileInput({"accept": "application/pdf,image/*"}),
            error_messages=said,
            **rest,
        )

    def clean(self, data: Any, initial: Any = None) -> FileIn | None:
        sent = super().clean(data, initial)
        if not sent:
            return None
        try:
            return read_file(sent.read())
        except Refused as refused:
            raise ValidationError(sentences(list(refused.findings))) from refused


class CardForm(forms.Form):
    """A 609 card, as printed. No expiry is asked for: the rule knows none."""

    program = line(120, label="Program that issued it")
    number = line(60, label="Card number")
    issued_on = DayField(
        label="Issued on", help_text="As printed on the card. A 609 card carries no last day."
    )
    name_on_card = line(80, label="Name as printed on the card")
    translator_assisted = forms.BooleanField(
        label=_("“Translator assisted” is printed on it"), required=False
    )
    copy_due = DayField(
        label=_("I have seen the card, a copy follows by"),
        required=False,
        help_text=_("Leave it empty when the card is here. Within the days that the shop's own rule gives."),
    )

    def card(self) -> CardIn:
        return CardIn(**self.cleaned_data)


class FileForm(forms.Form):
    """One file."""

    paper = FileChoice(label=_("PDF or photo of the card"))

    def file(self) -> FileIn:
        paper: FileIn = self.cleaned_data["paper"]
        return paper


class UnreadableForm(forms.Form):
    why = line(200, label=_("What cannot be read"))

    def reason(self) -> str:
        return str(self.cleaned_data["why"])


class BuyerForm(forms.Form):
    first_day = DayField(label=_("May buy and sign for deliveries from"))

    def day(self) -> date:
        first_day: date = self.cleaned_data["first_day"]
        return first_day


class EndBuyerForm(forms.Form):
    last_day = DayField(label=_("Last day on the list"))

    def day(self) -> date:
        last_day: date = self.cleaned_data["last_day"]
        return last_day


class OfficerForm(forms.Form):
    title = line(60, label=_("Title"), help_text=_("For example: general manager. It is printed as typed."))
    first_day = DayField(label=_("Signs for the shop from"))

    def office(self) -> dict[str, Any]:
        return self.cleaned_data


class OwnerChangeForm(forms.Form):
    owner = forms.ModelChoiceField(
        Person.objects.none(),
        label=_("The new owner"),
        empty_label=_("Choose"),
        help_text=_("Somebody who signs on here as an owner. Let them in first."),
    )
    on = DayField(label=_("First day as the owner"))

    def __init__(self, *args: Any, establishment: Establishment, **rest: Any) -> None:
        super().__init__(*args, **rest)
        owners = Person.objects.at(establishment).filter(role=Role.OWNER, is_active=True)
        self.fields["owner"].queryset = owners  # type: ignore[attr-defined]

    def change(self) -> tuple[Person, date]:
        return self.cleaned_data["owner"], self.cleaned_data["on"]


class LeaveForm(forms.Form):
    """The last day, and when access ends."""

    last_day = DayField(label=_("Last day here"))
    access = forms.ChoiceField(
        label=_("Sign-on ends"),
        choices=[("night", _("At the end of that day")), ("now", _("Now"))],
        widget=forms.RadioSelect,
        initial="night",
    )

    def leaving(self) -> LeavingIn:
        return LeavingIn(self.cleaned_data["last_day"], self.cleaned_data["access"] == "now")
