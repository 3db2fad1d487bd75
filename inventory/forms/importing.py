"""A spreadsheet to be looked at, and why an import is taken back."""

from __future__ import annotations

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from inventory.core.importing import What
from inventory.models.imports import WHATS
from shop.core.table import MOST_BYTES
from shop.forms import line


class ImportForm(forms.Form):
    """What is brought in, and the file. Its cells are looked at on the next page."""

    what = forms.ChoiceField(
        label=_("What is in the file"),
        choices=[(value, _(title)) for value, title in WHATS],
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose what is in the file.")},
    )
    file = forms.FileField(
        label=_("File"),
        help_text=_("XLSX, or CSV in UTF-8 with commas or semicolons. At most 5 MB and 10,000 rows."),
        widget=forms.FileInput({"accept": ".csv,.xlsx,text/csv"}),
        error_messages={
            "required": _("Choose a file first."),
            "invalid": _("Choose a file first."),
            "empty": _("The file is empty. Choose it again."),
        },
    )

    def clean_file(self) -> tuple[str, bytes]:
        sent = self.cleaned_data["file"]
        if sent.size > MOST_BYTES:
            raise ValidationError(gettext("The file is larger than 5 MB. Send it in parts."))
        return str(sent.name), sent.read()

    def sent(self) -> tuple[What, str, bytes]:
        said = self.cleaned_data
        return What(said["what"]), *said["file"]


class WriteForm(forms.Form):
    """The owner's word that the file is written as it was shown; it carries the file's fingerprint."""

    sha256 = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)


class UndoImportForm(forms.Form):
    """Why an import is taken back."""

    why = line(200, label=_("Why it is undone"), help_text=_("For example: the wrong file."))
