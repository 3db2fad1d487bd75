"""Which program is told what."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.core.outgoing import LONGEST_URL, What
from shop.forms.fields import line
from shop.services import ListenerIn

EVENTS = [
    (What.JOB_CLOSED.value, _("A job was closed")),
    (What.REPORT_SIGNED.value, _("A usage report was signed")),
    (What.STOCK_LOW.value, _("Full cans run low")),
]


class ListenerForm(forms.Form):
    name = line(60, label=_("What it is called here"), help_text=_("For example: Bookkeeping."))
    url = line(
        LONGEST_URL,
        label=_("Address it listens at"),
        help_text=_("Begins with https://, or with http:// inside the shop."),
        widget=forms.TextInput({"inputmode": "url", "autocomplete": "off", "spellcheck": "false"}),
        error_messages={"required": _("Type the address.")},
    )
    events = forms.MultipleChoiceField(
        label=_("It is told when"),
        choices=EVENTS,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose at least one thing to be told.")},
    )

    def listener(self) -> ListenerIn:
        said = self.cleaned_data
        return ListenerIn(said["name"], said["url"], tuple(said["events"]))
