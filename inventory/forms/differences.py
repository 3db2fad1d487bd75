"""Leaving a difference with a note, and deciding about a scale's tickets."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.models import DoubtSettled
from shop.forms import line


class NoteForm(forms.Form):
    """Why a difference is left as a difference."""

    note = line(
        300,
        label=_("Why it is left"),
        help_text=_(
            "For example: one can stood in the van, found on the 3rd; the rest is within the scales."
        ),
    )


class SettleForm(forms.Form):
    """What holds for the tickets of a scale that did not pass its check."""

    decided = forms.ChoiceField(
        label=_("What holds for these tickets"),
        choices=DoubtSettled.Decided.choices,
        widget=forms.RadioSelect,
    )
    why = line(
        300, label=_("Why"), help_text=_("For example: the zero had moved by 4 g, the pan stood on dirt.")
    )
