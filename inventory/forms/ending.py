"""What became of a can or cylinder, several empties at once, and a can that was found."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from inventory.core.weighing import Style
from inventory.forms.asking import AskingForm
from inventory.forms.rows import BOX, TypeChoice
from inventory.models import Container, Disposal
from inventory.services import DisposalIn, FoundIn, TicketIn
from shop.core.findings import Refused
from shop.forms import ReadingField, ScaleChoice, line, reading_on
from shop.forms.fields import sentences
from shop.services.cleaning import CleanPhoto, clean_photo

HOW = [("", _("Choose")), *((value, _(label)) for value, label in Disposal.How.choices)]
HOW_ASKED = _("How it was disposed of")


def how_field(**rest: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=HOW_ASKED, choices=HOW, required=False, template_name=BOX, **rest)  # type: ignore[call-arg]


class EndedForm(forms.Form):
    """Only what is possible now is offered in ``what``."""

    what = forms.ChoiceField(
        label=_("What became of it"),
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose what became of it.")},
    )
    how = how_field(help_text=_("Asked of a can that is disposed of."))
    why = line(
        200,
        label=_("Why, in a few words"),
        required=False,
        help_text=_("Asked of a hold, its end, and what is lost."),
    )

    def __init__(self, data: Any = None, *, choices: list[tuple[str, str]], **rest: Any) -> None:
        super().__init__(data, **rest)
        self.fields["what"].choices = choices  # type: ignore[attr-defined]
        names = {key for key, _title in choices}
        if "disposed" not in names:
            del self.fields["how"]

    def disposal(self) -> DisposalIn:
        return DisposalIn(self.cleaned_data.get("how", ""), self.cleaned_data["why"])


class EmptiesForm(forms.Form):
    """Several empties at once, ticked with wet gloves."""

    cans = forms.MultipleChoiceField(
        label=_("Empty cans"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Tick at least one can.")},
    )
    how = how_field()
    why = line(200, label=_("In a few words"), required=False)

    def __init__(self, data: Any = None, *, cans: list[tuple[Container, str]], **rest: Any) -> None:
        super().__init__(data, **rest)
        self.by_code = {can.code: can for can, _words in cans}
        self.fields["cans"].choices = [(can.code, words) for can, words in cans]  # type: ignore[attr-defined]

    def chosen(self) -> list[Container]:
        return [self.by_code[code] for code in self.cleaned_data["cans"]]

    def disposal(self) -> DisposalIn:
        return DisposalIn(self.cleaned_data["how"], self.cleaned_data["why"])


class FoundForm(AskingForm):
    """A can with no number: what is printed on it, where it was, and what it weighs."""

    printed = line(
        120,
        label=_("What is printed on it"),
        help_text=_("Refrigerant and net weight, as far as it can be read."),
    )
    type = TypeChoice(label=_("Kind of can"))
    lot = line(40, label=_("Lot, if it is printed"), required=False, template_name=BOX)
    where = line(120, label=_("Where it was found"))
    scale = ScaleChoice(label=_("Scale"))
    reading = ReadingField(label=_("The scale says, bare can"))
    photo = forms.FileField(
        label=_("Photo of it"),
        required=False,
        help_text=_("JPEG, PNG or WebP, at most 12 MB. Where it was taken is not kept."),
        widget=forms.FileInput({"accept": "image/*", "capture": "environment"}),
        error_messages={"empty": _("The photo is empty. Take it again.")},
    )

    def __init__(self, data: Any = None, files: Any = None, *, scales: Any, **rest: Any) -> None:
        super().__init__(data, files, **rest)
        self.fields["scale"].queryset = scales  # type: ignore[attr-defined]

    def clean_type(self) -> Any:
        if self.cleaned_data["type"] is None:
            raise ValidationError(_("Choose the kind of can. The one that is nearest will do."))
        return self.cleaned_data["type"]

    def clean_photo(self) -> CleanPhoto | None:
        sent = self.cleaned_data["photo"]
        try:
            return clean_photo(sent.read()) if sent else None
        except Refused as refused:
            raise ValidationError(sentences(list(refused.findings))) from refused

    def clean(self) -> dict[str, Any]:
        scale = self.cleaned_data.get("scale")
        self.read = reading_on(scale, self, "reading") if scale is not None else None
        return self.cleaned_data

    def found(self) -> FoundIn:
        said = self.cleaned_data
        assert self.read is not None  # noqa: S101 - an unread reading made the form invalid
        ticket = TicketIn(said["scale"], self.read, Style.BARE)
        return FoundIn(said["type"], said["printed"], said["where"], ticket, said["lot"], said["photo"])


class AcceptForm(forms.Form):
    why = line(
        200, label=_("Why it may go on a car"), help_text=_("For example: sealed, label whole, our own kind")
    )
