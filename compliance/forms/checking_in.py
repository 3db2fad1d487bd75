"""The check-in form: the car, its customer, what it complains of, and what the label under its hood asks for."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.stages import Compressor, LabelSource, UnitKind
from compliance.models import Label
from compliance.services import CheckInIn, LabelIn, RetrofitIn
from inventory.models import Refrigerant
from shop.core.mass import Unit
from shop.core.phrase import phrase
from shop.core.reading import read_mass
from shop.forms.fields import NO_SPINNER
from shop.http import say
from shop.services import VehicleIn

LABEL_UNITS = [(unit.value, unit.value) for unit in (Unit.G, Unit.OZ, Unit.LB, Unit.KG, Unit.LB_OZ)]
COMPLAINTS = (
    phrase("blows warm"),
    phrase("cools, then stops"),
    phrase("noise"),
    phrase("smells or leaks"),
    phrase("check only"),
)


class CheckInForm(forms.Form):
    vin = forms.CharField(
        label=_("VIN"),
        required=False,
        max_length=20,
        help_text=_("Scan the door jamb or type it. Leave empty when there is none."),
    )
    plate = forms.CharField(label=_("Plate"), required=False, max_length=12)
    description = forms.CharField(
        label=_("Year, kind, colour"), max_length=80, help_text=_("For example: 2014 sedan, blue")
    )
    customer = forms.CharField(label=_("Customer"), max_length=80)
    complaint = forms.ChoiceField(
        label=_("Complaint"),
        choices=[(one, _(one)) for one in COMPLAINTS],
        widget=forms.RadioSelect,
        required=False,
    )
    other_complaint = forms.CharField(label=_("Or in other words"), required=False, max_length=120)
    refrigerant = forms.ModelChoiceField(
        label=_("Refrigerant on the label"),
        queryset=Refrigerant.objects.chargeable(),
        empty_label=_("Choose"),
        to_field_name="code",
    )
    charge = forms.CharField(
        label=_("Charge on the label"),
        required=False,
        max_length=16,
        widget=forms.TextInput(NO_SPINNER),
        help_text=_("The number only. Left empty, the target is unknown: recovered, not charged."),
    )
    tolerance = forms.CharField(
        label=_("Tolerance on the label, plus or minus"),
        required=False,
        max_length=16,
        widget=forms.TextInput(NO_SPINNER),
        help_text=_("Leave empty when none is printed."),
    )
    unit = forms.ChoiceField(label=_("Unit on the label"), choices=LABEL_UNITS, initial=Unit.G.value)
    phone = forms.CharField(label=_("Phone"), required=False, max_length=30)
    odometer = forms.CharField(label=_("Odometer"), required=False, max_length=12)
    repair_order = forms.CharField(label=_("Repair order"), required=False, max_length=20)
    source = forms.ChoiceField(
        label=_("Charge read from"),
        choices=[(one.value, _(one.value)) for one in LabelSource],
        initial=LabelSource.UNDER_HOOD.value,
    )
    source_note = forms.CharField(label=_("Which other source"), required=False, max_length=80)
    compressor = forms.ChoiceField(
        label=_("Compressor"),
        choices=[(one.value, _(one.value)) for one in Compressor],
        initial=Compressor.BELT.value,
    )
    unit_kind = forms.ChoiceField(
        label=_("Kind of machine"),
        choices=[(one.value, _(one.value)) for one in UnitKind],
        initial=UnitKind.CAR.value,
    )
    rear_air = forms.BooleanField(label=_("Two evaporators (rear air)"), required=False)
    elsewhere = forms.CharField(
        label=_("Opened or charged elsewhere since its last visit here"),
        required=False,
        max_length=120,
        help_text=_("What was done, for example: compressor replaced. No leak rate is worked out then."),
    )
    retrofit = forms.BooleanField(label=_("It was changed to another refrigerant earlier"), required=False)
    labelled = forms.BooleanField(label=_("A retrofit label is on it"), required=False)
    fittings = forms.BooleanField(label=_("Its ports fit this refrigerant, no adapters"), required=False)
    removed = forms.BooleanField(label=_("The old refrigerant was removed first"), required=False)

    more = (
        "phone",
        "odometer",
        "repair_order",
        "source",
        "source_note",
        "compressor",
        "unit_kind",
        "rear_air",
        "elsewhere",
        "retrofit",
        "labelled",
        "fittings",
        "removed",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["complaint"].asked = True  # type: ignore[attr-defined] # or the field below it

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        unit = Unit(cleaned.get("unit") or Unit.G)
        for name in ("charge", "tolerance"):
            if cleaned.get(name):
                reading, found = read_mass(cleaned[name], unit, field=name)
                for finding in found:
                    if finding.blocks:
                        self.add_error(name, say(finding.message))
                cleaned[f"{name}_read"] = reading
        if cleaned.get("tolerance") and not cleaned.get("charge"):
            self.add_error("charge", _("A tolerance needs the charge it belongs to."))
        return cleaned

    def car(self) -> CheckInIn:
        """What was typed, for the service."""
        typed = self.cleaned_data
        label = None
        if typed.get("charge_read") is not None:
            label = LabelIn(
                typed["charge_read"], typed.get("tolerance_read"), typed["source"], typed["source_note"]
            )
        return CheckInIn(
            vehicle=VehicleIn(typed["vin"], typed["plate"], typed["description"]),
            customer=typed["customer"],
            complaint=typed["other_complaint"] or typed["complaint"],
            refrigerant=typed["refrigerant"].code,
            label=label,
            phone=typed["phone"],
            odometer=typed["odometer"],
            repair_order=typed["repair_order"],
            compressor=Compressor(typed["compressor"]),
            unit_kind=UnitKind(typed["unit_kind"]),
            retrofit=RetrofitIn(typed["labelled"], typed["fittings"], typed["removed"])
            if typed["retrofit"]
            else None,
            rear_air=typed["rear_air"],
            elsewhere=typed["elsewhere"],
        )


def label_typed(label: Label | None) -> dict[str, str]:
    """A label as it was typed, to begin the form with."""
    if label is None:
        return {}
    return {
        "charge": label.charge_text,
        "tolerance": label.tolerance_text,
        "unit": label.charge_unit,
        "source": label.source,
        "source_note": label.source_note,
    }
