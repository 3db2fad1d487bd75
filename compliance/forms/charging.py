"""The charge page's two forms: one reading of one can, and what did not stay in the car."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.models import CanTicket, LightCan
from compliance.queries import Sheet
from compliance.services import ChargeIn, MischargeIn, WeighingIn
from compliance.services.charging import charge_in
from inventory.core.numbers import number_in
from inventory.core.weighing import Origin, Style
from inventory.forms import NumberField
from inventory.models import Container
from inventory.services import TicketIn
from shop.core.mass import Reading, Unit, grams
from shop.core.reading import decimals_of, read_mass
from shop.forms import GramsField, MomentField, ReadingField, ScaleSelect, WholeField, reading_on, taken
from shop.http import say
from shop.models import Equipment
from shop.queries import in_service

BEFORE, LEAK_TEST, STAYS, OFF, EMPTY = "before", "leak test", "stays", "off", "empty"
WHATS = [
    (BEFORE, _("Before: it goes on the car now")),
    (EMPTY, _("After, it is empty and comes off")),
    (OFF, _("After, it comes off the car")),
    (STAYS, _("After, it stays on the car")),
    (LEAK_TEST, _("After the leak-test charge; it stays on")),
]
MOMENTS = {
    BEFORE: CanTicket.Moment.BEFORE,
    LEAK_TEST: CanTicket.Moment.LEAK_TEST,
    STAYS: CanTicket.Moment.AFTER,
    OFF: CanTicket.Moment.AFTER,
    EMPTY: CanTicket.Moment.AFTER,
}


def can_coded(text: str, sheet: Sheet) -> Container:
    """The container with this number, typed or scanned."""
    code = number_in(text)
    cans = Container.objects.filter(establishment=sheet.job.establishment, pk=code)
    can = cans.select_related("can__type", "fate", "establishment").first()
    if can is None:
        missing = _("There is no can %(code)s in the book. Read its number again.") % {"code": code[:24]}
        raise forms.ValidationError(missing)
    return can


class WeighForm(forms.Form):
    """One reading of one can. Fields named in ``more`` stand folded."""

    container = NumberField(label=_("Can"), help_text=_("Scan it, or type the number on it"))
    reading = ReadingField(label=_("The scale says"), max_length=16)
    what = forms.ChoiceField(label=_("This reading is"), choices=WHATS, widget=forms.RadioSelect)
    scale = forms.ModelChoiceField(
        label=_("Scale"), queryset=Equipment.objects.none(), empty_label=None, widget=ScaleSelect
    )
    style = forms.ChoiceField(label=_("On the pan"), choices=[(one.value, _(one.value)) for one in Style])
    from_label = forms.BooleanField(
        label=_("Sealed, and not weighed before it was opened: take its label weight"), required=False
    )
    read_at = MomentField(label=_("Read earlier, at"), required=False, help_text=_("Marked as typed later."))
    uncertified = forms.CharField(
        label=_("Charged by somebody without a 609 card: name"),
        required=False,
        max_length=80,
        help_text=_("Only when it happened. You write it down, you do not sign in their place."),
    )
    seen = forms.CharField(required=False, max_length=200, widget=forms.HiddenInput)
    light = forms.CharField(required=False, max_length=200, widget=forms.HiddenInput)
    meant = forms.CharField(required=False, max_length=24, widget=forms.HiddenInput)

    more = ("scale", "style", "from_label", "read_at", "uncertified")

    def __init__(self, *args: Any, sheet: Sheet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet = sheet
        self.fields["scale"].queryset = in_service(sheet.job.establishment, sheet.job.on, "scale")  # type: ignore[attr-defined]
        self.fields["reading"].required = not (self.is_bound and self.data.get("from_label"))

    def clean_container(self) -> Container:
        can = can_coded(self.cleaned_data["container"], self.sheet)
        if can.kind != "can" and not hasattr(can, "cylinder"):
            raise forms.ValidationError(_("That is no can."))
        return can

    def clean(self) -> dict[str, Any]:
        """Read the number in the scale's unit, or in the unit that was meant; the service compares it with the can."""
        cleaned = super().clean() or {}
        scale, can = cleaned.get("scale"), cleaned.get("container")
        if scale is None or can is None:
            return cleaned
        if cleaned.get("from_label") and can.kind == "can":
            cleaned["read"] = label_weight(can, scale)
        elif cleaned.get("reading"):
            number, unit = self._meant(cleaned, Unit(scale.unit))
            reading, found = read_mass(number, unit, field="reading")
            for finding in found:
                if finding.blocks:
                    self.add_error("reading", say(finding.message))
            cleaned["read"] = taken(reading, scale, self, "reading") if reading is not None else None
        elif "reading" not in self.errors:
            self.add_error("reading", _("Type what the scale shows."))
        return cleaned

    def hidden_fields(self) -> list[forms.BoundField]:
        """None: ``seen``, ``light`` and ``meant`` are what a button says of the one reading it stands beside."""
        return []

    def _answers(self, name: str) -> tuple[str, ...]:
        """The words that a button carried, as long as the reading is still the one that was asked about."""
        words, at, reading = self.cleaned_data[name].partition("@")
        return tuple(words.split()) if not at or reading == self.cleaned_data["reading"].strip() else ()

    def _meant(self, cleaned: dict[str, Any], unit: Unit) -> tuple[str, Unit]:
        """The number that was typed on this scale, or the one tapped instead of it, in its own unit."""
        number, _space, other = str(cleaned.get("meant") or "").rpartition(" ")
        if number and other in {one.value for one in Unit}:
            return number, Unit(other)
        return str(cleaned["reading"]), unit

    def weighing(self) -> WeighingIn:
        typed, light = self.cleaned_data, self._answers("light")
        origin = Origin.WEIGHED
        if typed["from_label"]:
            origin = Origin.LABEL
        elif typed["read_at"] is not None:
            origin = Origin.TYPED_LATER
        return WeighingIn(
            container=typed["container"],
            ticket=TicketIn(typed["scale"], typed["read"], Style(typed["style"]), origin),
            moment=MOMENTS[typed["what"]],
            emptied=typed["what"] == EMPTY,
            stays_on=typed["what"] in (LEAK_TEST, STAYS),
            seen=(*self._answers("seen"), *light[1:]),
            light=light[0] if light and light[0] in LightCan.Why.values else "",
            said_at=typed["read_at"],
            uncertified=typed["uncertified"],
        )


def label_weight(can: Container, scale: Equipment) -> Reading:
    """What a full can of this kind weighs, in the unit and decimals of the scale."""
    unit = Unit.G if scale.unit == Unit.LB_OZ else Unit(scale.unit)
    number = can.can.type.net + can.can.type.shell
    shown = number.rounded(unit, decimals_of(scale.division, unit))
    return read_mass(f"{shown}", unit)[0] or Reading(f"{shown}", unit, number)


class OtherCanForm(forms.Form):
    """Which can it really was."""

    container = NumberField(label=_("It was really can"), help_text=_("Scan it, or type the number on it"))

    def __init__(self, *args: Any, sheet: Sheet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet = sheet

    def clean_container(self) -> Container:
        return can_coded(self.cleaned_data["container"], self.sheet)


class MischargeForm(forms.Form):
    """A can of another refrigerant that already went in."""

    container = NumberField(label=_("The can that went in"))
    before = ReadingField(
        label=_("It weighed before"),
        max_length=16,
        help_text=_("Sealed and not weighed? Type what a full can weighs."),
    )
    after = ReadingField(label=_("It weighs now"), max_length=16)
    scale = forms.ModelChoiceField(
        label=_("Scale"), queryset=Equipment.objects.none(), empty_label=None, widget=ScaleSelect
    )

    def __init__(self, *args: Any, sheet: Sheet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet = sheet
        self.fields["scale"].queryset = in_service(sheet.job.establishment, sheet.job.on, "scale")  # type: ignore[attr-defined]

    def clean_container(self) -> Container:
        return can_coded(self.cleaned_data["container"], self.sheet)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("scale") is not None:
            for name in ("before", "after"):
                cleaned[f"{name}_read"] = reading_on(cleaned["scale"], self, name)
        return cleaned

    def mischarge(self) -> MischargeIn:
        typed = self.cleaned_data
        before = TicketIn(typed["scale"], typed["before_read"])
        return MischargeIn(typed["container"], before, TicketIn(typed["scale"], typed["after_read"]))


class FinishChargeForm(forms.Form):
    hoses = GramsField(label=_("Left in the hoses, g"), min_value=0, max_value=60, decimal_places=1)
    purged = WholeField(label=_("Hoses purged, times"), most=20, initial=0)
    released = GramsField(
        label=_("Released by mishap, g"),
        min_value=0,
        max_value=3000,
        decimal_places=1,
        initial=0,
        help_text=_("Got into the air without being meant to: a tap left open, a seal that failed."),
    )
    released_why = forms.CharField(label=_("What happened and what was done"), required=False, max_length=200)

    uncertified = forms.CharField(
        label=_("Charged by somebody without a 609 card: name"), required=False, max_length=80
    )

    def __init__(self, *args: Any, sheet: Sheet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rules = sheet.rules
        self.fields["hoses"].initial = sheet.rules.hose_allowance_g
        allowance = _("Shop allowance: %(grams)s g") % {"grams": sheet.rules.hose_allowance_g}
        self.fields["hoses"].help_text = allowance

    def charge(self) -> ChargeIn:
        typed = self.cleaned_data
        return charge_in(
            self.rules,
            hoses=grams(typed["hoses"]),
            purged=typed["purged"],
            released=grams(typed["released"]),
            released_why=typed["released_why"],
        )
