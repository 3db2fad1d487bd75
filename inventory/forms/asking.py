"""A form that asks before it writes: what is only unlikely is shown once and may be kept as it is."""

from __future__ import annotations

from django import forms

from shop.core.findings import Finding, Refused, Weight
from shop.http import show_refusal


class AskingForm(forms.Form):
    """Sent again unchanged, it answers the warnings that were shown: their codes travel in ``seen``."""

    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=200)

    def answered(self) -> tuple[str, ...]:
        """The codes of the warnings that were shown and answered with "keep it"."""
        return tuple(self.cleaned_data["seen"].split())

    def ask(self, refused: Refused) -> list[Finding]:
        """Show what was refused beside its fields; returns the warnings, whose codes the form now carries."""
        warnings = [one for one in refused.findings if one.weight is Weight.WARNS]
        self.data = {**dict(self.data.items()), "seen": " ".join(one.code for one in warnings)}
        show_refusal(self, refused)
        return warnings
