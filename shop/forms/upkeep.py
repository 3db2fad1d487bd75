"""Where reminders go, and how a backup that was brought back did."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.forms.fields import DayField, line

WHOLE, NOT_WHOLE = "whole", "not whole"


class ReminderForm(forms.Form):
    reminders_to = line(
        254,
        label=_("Reminders go to"),
        required=False,
        help_text=_("An e-mail address. One letter a week at most, and nothing twice. Empty: none."),
        widget=forms.EmailInput({"autocomplete": "email"}),
    )


class BackupTrialForm(forms.Form):
    on = DayField(label=_("Brought back on"))
    result = forms.ChoiceField(
        label=_("The check of the restored book"),
        choices=[(WHOLE, _("It was whole")), (NOT_WHOLE, _("It was not whole, or could not be opened"))],
        widget=forms.RadioSelect,
    )
    note = line(
        200,
        label=_("Which backup, and where"),
        help_text=_("For example: the one of June 30, on the office PC."),
    )

    def is_whole(self) -> bool:
        return bool(self.cleaned_data["result"] == WHOLE)
