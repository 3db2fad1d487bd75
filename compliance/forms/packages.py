"""Old records, the monthly copy, and the pack for a buyer."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.forms import line


class KeepForm(forms.Form):
    """Keep everything for ever, or by the years of the rules."""

    how = forms.ChoiceField(
        label=_("How long records are kept"),
        choices=[("rules", _("By the years of the rules")), ("for ever", _("For ever"))],
    )
    why = line(200, label=_("Why"))
