"""Suppliers, kinds of can, recovery cylinders."""

from __future__ import annotations

from django import forms

from inventory.forms.asking import AskingForm
from inventory.models import Refrigerant
from inventory.services import ContainerTypeIn, CylinderIn, SupplierIn
from shop.core.mass import Unit
from shop.forms import CodeField, DayField, MassField, WholeField, line

CAN_UNITS = (Unit.OZ, Unit.G, Unit.LB)
CYLINDER_UNITS = (Unit.LB, Unit.KG, Unit.G)


def refrigerant_field() -> forms.ModelChoiceField[Refrigerant]:
    return forms.ModelChoiceField(Refrigerant.objects.all(), empty_label="Choose")


class SupplierForm(forms.Form):
    """Whom the shop buys cans from."""

    name = line(80, label="Supplier's name")
    address = line(200, required=False)
    phone = line(30, required=False, widget=forms.TextInput({"inputmode": "tel"}))

    def supplier(self) -> SupplierIn:
        said = self.cleaned_data
        return SupplierIn(said["name"], said["address"], said["phone"])


class TypeForm(forms.Form):
    """A kind of can, as printed on it."""

    refrigerant = refrigerant_field()
    name = line(40, label="What the shop calls it", help_text="For example: 12-oz can.")
    net = MassField(
        label="Net weight printed on the can", units=CAN_UNITS, help_text="For example 12 oz or 340 g."
    )
    shell = MassField(
        label="Shell: the can when empty",
        units=(Unit.G, Unit.OZ),
        help_text="Weigh one that is quite empty. Shells differ by a few grams; that is allowed for.",
    )
    cans_per_case = WholeField(label="Cans in a case", initial=12, least=1, most=144)
    self_sealing = forms.BooleanField(
        label="Its valve seals itself",
        required=False,
        initial=True,
        help_text="Printed on the can or its collar.",
    )

    def kind(self) -> ContainerTypeIn:
        said = self.cleaned_data
        return ContainerTypeIn(
            refrigerant=said["refrigerant"].code,
            name=said["name"],
            net=said["net"],
            shell=said["shell"],
            cans_per_case=said["cans_per_case"],
            self_sealing=said["self_sealing"],
        )


class CylinderForm(AskingForm):
    """A recovery cylinder with its stamps, and what it weighs today."""

    code = CodeField(label="Number", help_text="What is written on it here, for example RC-02.")
    refrigerant = refrigerant_field()
    tare = MassField(label="Tare, stamped TW", units=CYLINDER_UNITS)
    water = MassField(label="Water capacity, stamped WC", units=CYLINDER_UNITS)
    gross = MassField(
        label="It weighs today",
        units=CYLINDER_UNITS,
        help_text="On the scale, without hoses. What it holds is this less the tare.",
    )
    requalified_on = DayField(
        label="Last requalification, as stamped", help_text="A stamp of 11 22 is 2022-11-01."
    )
    serial = line(40, label="Serial number", required=False)

    def cylinder(self) -> CylinderIn:
        said = self.cleaned_data
        return CylinderIn(
            code=said["code"],
            refrigerant=said["refrigerant"].code,
            tare=said["tare"],
            water=said["water"],
            gross=said["gross"],
            requalified_on=said["requalified_on"],
            serial=said["serial"],
        )
