"""A look at a control chart."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.forms import line


class LookForm(forms.Form):
    found = line(
        300,
        label=_("What you found"),
        help_text=_("For example: the pan touched the wall; zeroed and checked with 500 g, shows 500."),
    )
