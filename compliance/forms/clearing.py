"""Clearing old records: show the archive, confirm, bring back, clear."""

from __future__ import annotations

import hashlib
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.models import Clearing, Package
from compliance.services import AskIn
from shop.forms import line


class AskForm(forms.Form):
    """The archive at hand: its SHA-256 typed, or the file, of which only the SHA-256 is worked out."""

    sha256 = line(
        100,
        label=_("SHA-256 of the archive file"),
        required=False,
        help_text=_(
            "Worked out from the file you keep, not copied from this page. In a command window: "
            "certutil -hashfile FILE SHA256, or shasum -a 256 FILE."
        ),
        widget=forms.TextInput({"autocomplete": "off", "spellcheck": "false", "class": "code"}),
    )
    file = forms.FileField(
        label=_("Or the archive file itself"),
        required=False,
        allow_empty_file=True,
        help_text=_("Up to 15 MB; for a larger one type its SHA-256. The file is compared and not kept."),
        widget=forms.FileInput({"accept": ".zip,application/zip"}),
    )

    def ask(self, archive: Package) -> AskIn:
        file: Any = self.cleaned_data["file"]
        if file is None:
            return AskIn(archive, self.cleaned_data["sha256"])
        worked = hashlib.sha256()
        for chunk in file.chunks():
            worked.update(chunk)
        return AskIn(archive, worked.hexdigest(), Clearing.How.FILE)


class ConfirmForm(forms.Form):
    """Nothing is ticked beforehand."""

    copies = forms.BooleanField(
        label=_("I know that backups and archives keep these details until I destroy them by hand"),
        error_messages={"required": _("Tick that you know about the backups and archives.")},
    )


class ClearForm(forms.Form):
    for_good = forms.BooleanField(
        label=_("I know that nothing here brings the details back after this"),
        error_messages={"required": _("Tick that you know it is for good.")},
    )


class UndoForm(forms.Form):
    why = line(200, label=_("Why"))
