"""Suppliers, kinds of can, recovery cylinders."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.forms.asking import AskingForm
from inventory.models import ContainerType, Refrigerant
from inventory.services import ContainerTypeIn, CylinderIn, SupplierIn
from shop.core.mass import Mass, Unit
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
    shell_basis = forms.ChoiceField(
        label=_("How the shell is known"),
        choices=[
            (ContainerType.Basis.WEIGHED, _("An empty one was weighed")),
            (ContainerType.Basis.ESTIMATED, _("I do not know it: this is an estimate")),
        ],
        widget=forms.RadioSelect,
        initial=ContainerType.Basis.WEIGHED,
        help_text=_("What rests on an estimate says so, until empties of this kind show the real weight."),
        error_messages={"required": _("Say whether the shell was weighed or estimated.")},
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
            shell_basis=said["shell_basis"],
        )


class AdoptShellForm(forms.Form):
    """One button; it carries the weight that was shown beside it, in micrograms."""

    mean = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def shown(self) -> Mass | None:
        said = self.cleaned_data["mean"]
        return None if said is None else Mass(said)


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
