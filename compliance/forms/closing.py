"""The two ways a job ends: charged, or not charged."""

from __future__ import annotations

from collections.abc import Sequence

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.services import CloseIn
from shop.core.phrase import phrase

ABANDONED = phrase("abandoned, closed as it stands")
STOPS = (
    phrase("leak found"),
    phrase("customer declined"),
    phrase("mixed or unknown refrigerant"),
    phrase("sealant found"),
    phrase("wrong refrigerant went in"),
    phrase("nothing more was asked for"),
    ABANDONED,
)


class CloseForm(forms.Form):
    remark = forms.CharField(
        label=_("Remark"),
        required=False,
        max_length=300,
        help_text=_(
            "Printed on the certificate. Needed when the charge is outside the label's tolerance and is left so."
        ),
    )

    def close(self) -> CloseIn:
        return CloseIn(remark=self.cleaned_data["remark"])


class NotChargedForm(forms.Form):
    stops = forms.MultipleChoiceField(
        label=_("What stopped the job"),
        choices=[(str(one), _(one)) for one in STOPS],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    stopped = forms.CharField(
        label=_("In words"),
        required=False,
        max_length=200,
        help_text=_("For example: condenser lower left, dye"),
    )
    state_now = forms.CharField(
        label=_("What is true of the car now"),
        max_length=300,
        help_text=_("For example: recovered 180 g, empty, ports capped"),
    )
    choice = forms.CharField(
        label=_("What the customer chose, how and when"),
        max_length=300,
        help_text=_("For example: declined, by phone, 2:15 pm, told to the front office"),
    )

    def clean(self) -> dict[str, object]:
        cleaned = super().clean() or {}
        if not cleaned.get("stops") and not str(cleaned.get("stopped", "")).strip():
            self.add_error("stopped", _("Tick what stopped the job, or say it in words."))
        return cleaned

    def close(self) -> CloseIn:
        return ends_without(**self.cleaned_data)


def ends_without(*, stops: Sequence[str], stopped: str, state_now: str, choice: str) -> CloseIn:
    """A job that ends without a charge: what stopped it, from the list and in words."""
    why = ", ".join(part for part in (*stops, stopped.strip()) if part)
    return CloseIn(stopped=why, state_now=state_now, choice=choice, abandoned=ABANDONED in stops)
