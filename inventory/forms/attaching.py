"""A paper or photo to be kept, and a scan from before the book."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from inventory.services import PaperIn
from inventory.services.attaching import read_paper
from shop.core.findings import Refused
from shop.core.phrase import in_language
from shop.forms import line

MONTH = re.compile(r"(?P<year>\d{4})-(?P<month>\d{1,2})|(?P<us_month>\d{1,2})/(?P<us_year>\d{4})", re.ASCII)


class PaperForm(forms.Form):
    """A paper or photo. It is looked into while the form is read, before a transaction holds anything up."""

    paper = forms.FileField(
        label=_("PDF or photo"),
        help_text=_("PDF, JPEG, PNG or WebP, at most 10 MB. Where a photo was taken is not kept."),
        widget=forms.FileInput({"accept": "application/pdf,image/*"}),
        error_messages={
            "required": _("Choose a file first."),
            "invalid": _("Choose a file first."),
            "empty": _("The file is empty. Choose it again."),
        },
    )

    def clean_paper(self) -> PaperIn:
        try:
            return read_paper(self.cleaned_data["paper"].read())
        except Refused as refused:
            said = [in_language(one.message, gettext) for one in refused.findings]
            raise ValidationError(said) from refused


class MonthField(forms.CharField):
    """A month, picked or typed as 2023-08 or 8/2023; cleans to its first day."""

    def __init__(self, **rest: Any) -> None:
        missing = {"required": _("Pick the month.")}
        super().__init__(
            max_length=10, widget=forms.TextInput({"type": "month"}), error_messages=missing, **rest
        )

    def clean(self, value: Any) -> Any:
        typed = MONTH.fullmatch(super().clean(value))
        try:
            if typed is not None:
                year, month = typed["year"] or typed["us_year"], typed["month"] or typed["us_month"]
                return date(int(year), int(month), 1)
        except ValueError:
            pass
        raise ValidationError(gettext("Type the month as year-month, for example 2023-08."))


class EarlierForm(PaperForm):
    """A scan of the shop's own paper from before the book."""

    month = MonthField(label=_("Month"), help_text=_("The month the paper is of. For example 2023-08."))
    what = line(80, label=_("What it is"), help_text=_("For example: clipboard page, second half."))
    field_order = ("month", "what", "paper")


class AsideForm(forms.Form):
    """Why something counts no more."""

    why = line(200, label=_("Why"), help_text=_("The paper stays on file, with this reason."))
