"""What is typed before a customer gets a link."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _


class LinkForm(forms.Form):
    given_to = forms.CharField(
        label=_("Given to"), max_length=80, help_text=_("For example: Ines Calloway, by text message.")
    )
    seen = forms.BooleanField(label=_("Plate and VIN are those of their car"), required=False)
