"""The check-in form."""

from __future__ import annotations

from typing import Any

from django import forms

from compliance.core.stages import LabelSource
from compliance.services import CheckInIn, LabelIn
from inventory.models import Refrigerant
from shop.core.mass import Unit
from shop.core.reading import read_mass
from shop.services import VehicleIn

LABEL_UNITS = [(unit.value, unit.value) for unit in (Unit.G, Unit.OZ, Unit.LB, Unit.KG, Unit.LB_OZ)]


class CheckInForm(forms.Form):
    vin = forms.CharField(
        label="VIN",
        required=False,
        max_length=20,
        help_text="Scan the door jamb or type it. Leave empty when there is none.",
    )
    plate = forms.CharField(label="Plate", required=False, max_length=12)
    description = forms.CharField(
        label="Year, kind, colour", max_length=80, help_text="For example: 2014 sedan, blue"
    )
    customer = forms.CharField(label="Customer", max_length=80)
    phone = forms.CharField(label="Phone", required=False, max_length=30)
    odometer = forms.CharField(label="Odometer", required=False, max_length=12)
    complaint = forms.CharField(label="Complaint", max_length=120, help_text="For example: blows warm")
    repair_order = forms.CharField(label="Repair order", required=False, max_length=20)
    refrigerant = forms.ModelChoiceField(
        label="Refrigerant on the label",
        queryset=Refrigerant.objects.chargeable(),
        empty_label="Choose",
        to_field_name="code",
    )
    charge = forms.CharField(
        label="Charge on the label",
        required=False,
        max_length=16,
        help_text="The number only. Left empty, the target is unknown: the car can be recovered, not charged.",
    )
    tolerance = forms.CharField(
        label="Tolerance on the label, plus or minus",
        required=False,
        max_length=16,
        help_text="Leave empty when none is printed.",
    )
    unit = forms.ChoiceField(label="Unit on the label", choices=LABEL_UNITS, initial=Unit.G.value)
    source = forms.ChoiceField(
        label="Read from",
        choices=[(one.value, one.value) for one in LabelSource],
        initial=LabelSource.UNDER_HOOD.value,
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        unit = Unit(cleaned.get("unit") or Unit.G)
        for name in ("charge", "tolerance"):
            if cleaned.get(name):
                reading, found = read_mass(cleaned[name], unit, field=name)
                for finding in found:
                    if finding.blocks:
                        self.add_error(name, finding.message)
                cleaned[f"{name}_read"] = reading
        if cleaned.get("tolerance") and not cleaned.get("charge"):
            self.add_error("charge", "A tolerance needs the charge it belongs to.")
        return cleaned

    def car(self) -> CheckInIn:
        """What was typed, for the service."""
        typed = self.cleaned_data
        label = None
        if typed.get("charge_read") is not None:
            label = LabelIn(typed["charge_read"], typed.get("tolerance_read"), typed["source"])
        return CheckInIn(
            vehicle=VehicleIn(typed["vin"], typed["plate"], typed["description"]),
            customer=typed["customer"],
            complaint=typed["complaint"],
            refrigerant=typed["refrigerant"].code,
            label=label,
            phone=typed["phone"],
            odometer=typed["odometer"],
            repair_order=typed["repair_order"],
        )
