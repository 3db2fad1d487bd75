"""Facilities, shipments and receipts: what the front office types."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms

from inventory.forms.asking import AskingForm
from inventory.models import Container, Facility, Shipment, ShippedCylinder
from inventory.services import CylinderSent, FacilityIn, ReceiptIn, ShipmentIn, TicketIn
from shop.core.mass import Unit
from shop.forms import DayField, MassField, ReadingField, ScaleChoice, line, reading_on
from shop.models import Equipment
from shop.queries import in_service


class FacilityForm(forms.Form):
    """Where refrigerant is sent."""

    name = line(80, label="Facility's name")
    address = line(200, label="Its whole address", help_text="Street, place, state. The rule asks for both.")
    phone = line(30, required=False, widget=forms.TextInput({"inputmode": "tel"}))
    reclaimer_checked_on = DayField(
        label="Its reclaimer status was looked up on",
        required=False,
        help_text="On the agency's own list. Leave it empty when nobody looked.",
    )

    def facility(self) -> FacilityIn:
        return FacilityIn(**self.cleaned_data)


class ShipmentForm(AskingForm):
    """Cylinders with a weight go; those without one stay."""

    facility = forms.ModelChoiceField(Facility.objects.none(), empty_label="Choose")
    purpose = forms.ChoiceField(label="What for", choices=Shipment.Purpose.choices)
    scale = ScaleChoice(label="Weighed on scale")
    carrier = line(80, label="Carried by", help_text="For example: own van, the facility's truck.")
    driver = line(80, required=False)
    shipping_paper = line(
        200,
        label="As on the shipping paper",
        required=False,
        help_text="Copy name, number, class and count from the paper that the shipper prepared.",
    )
    shipper = line(80, label="Who prepared and signed that paper", required=False)
    capped = forms.BooleanField(label="Valves capped, cylinders upright, checked for leaks", required=False)

    def __init__(
        self, *args: Any, facilities: Any, cylinders: Iterable[Container], day: date, **rest: Any
    ) -> None:
        super().__init__(*args, **rest)
        self.cylinders = tuple(cylinders)
        self.fields["facility"].queryset = facilities  # type: ignore[attr-defined]
        if self.cylinders:
            scales = in_service(self.cylinders[0].establishment, day, Equipment.Kind.SCALE)
            self.fields["scale"].queryset = scales  # type: ignore[attr-defined]
        for one in self.cylinders:
            self.fields[one.code] = ReadingField(label=f"{one.code} weighs now", required=False)
            self.fields[f"back_{one.code}"] = forms.BooleanField(
                label=f"{one.code} is ours and comes back empty", required=False
            )
            self.fields[f"note_{one.code}"] = line(
                120, label=f"{one.code}: identifier result, oil", required=False
            )

    def common(self) -> list[forms.BoundField]:
        """The fields of the whole shipment, for the template."""
        own = {"seen"} | {
            name for one in self.cylinders for name in (one.code, f"back_{one.code}", f"note_{one.code}")
        }
        return [self[name] for name in self.fields if name not in own]

    def rows(self) -> list[tuple[Container, forms.BoundField, forms.BoundField, forms.BoundField]]:
        """Each cylinder with its reading, whether it comes back, and its note."""
        return [
            (one, self[one.code], self[f"back_{one.code}"], self[f"note_{one.code}"])
            for one in self.cylinders
        ]

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        scale: Equipment | None = said.get("scale")
        self.sent: list[CylinderSent] = []
        if scale is None:
            return said
        for one in self.cylinders:
            reading = reading_on(scale, self, one.code)
            if reading is not None:
                ticket = TicketIn(scale, reading)
                back, note = bool(said.get(f"back_{one.code}")), said.get(f"note_{one.code}", "")
                self.sent.append(CylinderSent(one, ticket, comes_back=back, note=note))
        return said

    def shipment(self) -> ShipmentIn:
        said = self.cleaned_data
        names = ("facility", "purpose", "carrier", "driver", "shipping_paper", "shipper", "capped")
        return ShipmentIn(cylinders=tuple(self.sent), **{name: said[name] for name in names})


class ReceiptForm(forms.Form):
    """Their ticket: number, day, their net weight of each cylinder."""

    number = line(40, label="Number of their ticket")
    on = DayField(label="Its day")
    note = line(200, required=False, help_text="Purity, credit, or why the weights differ.")

    def __init__(self, *args: Any, cylinders: Iterable[ShippedCylinder], **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.codes = [one.container_id for one in cylinders]
        for code in self.codes:
            self.fields[code] = MassField(label=f"{code}: their net weight", units=(Unit.G, Unit.KG, Unit.LB))

    def receipt(self) -> ReceiptIn:
        said = self.cleaned_data
        return ReceiptIn(said["number"], said["on"], {code: said[code] for code in self.codes}, said["note"])
