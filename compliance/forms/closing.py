"""The two ways a job ends: charged, or not charged."""

from __future__ import annotations

from django import forms

from compliance.services import CloseIn


class CloseForm(forms.Form):
    remark = forms.CharField(
        label="Remark",
        required=False,
        max_length=300,
        help_text="Printed on the certificate. Needed when the charge is outside the label's tolerance and is left so.",
    )

    def close(self) -> CloseIn:
        return CloseIn(remark=self.cleaned_data["remark"])


class NotChargedForm(forms.Form):
    stopped = forms.CharField(
        label="What stopped the job",
        max_length=300,
        help_text="For example: leak found, condenser lower left, dye",
    )
    state_now = forms.CharField(
        label="What is true of the car now",
        max_length=300,
        help_text="For example: recovered 180 g, empty, ports capped",
    )
    choice = forms.CharField(
        label="What the customer chose, how and when",
        max_length=300,
        help_text="For example: declined, by phone, 2:15 pm, told to the front office",
    )

    def close(self) -> CloseIn:
        typed = self.cleaned_data
        return CloseIn(stopped=typed["stopped"], state_now=typed["state_now"], choice=typed["choice"])
