"""The charge page's two forms: one reading of one can, and what did not stay in the car."""

from __future__ import annotations

from typing import Any

from django import forms

from compliance.models import CanTicket
from compliance.queries import Sheet
from compliance.queries.charge_view import free_cans
from compliance.services import ChargeIn, WeighingIn
from inventory.core.weighing import Origin, Style
from inventory.models import Container
from inventory.services import TicketIn
from shop.core.mass import ZERO, Unit, grams
from shop.core.reading import read_mass
from shop.models import Equipment
from shop.queries import in_service

BEFORE, LEAK_TEST, STAYS, OFF, EMPTY = "before", "leak test", "stays", "off", "empty"
WHATS = [
    (BEFORE, "Before: it goes on the car now"),
    (LEAK_TEST, "After the leak-test charge; it stays on"),
    (STAYS, "After, it stays on the car"),
    (OFF, "After, it comes off the car"),
    (EMPTY, "After, it is empty and comes off"),
]
MOMENTS = {
    BEFORE: CanTicket.Moment.BEFORE,
    LEAK_TEST: CanTicket.Moment.LEAK_TEST,
    STAYS: CanTicket.Moment.AFTER,
    OFF: CanTicket.Moment.AFTER,
    EMPTY: CanTicket.Moment.AFTER,
}


class WeighForm(forms.Form):
    container = forms.CharField(label="Can", max_length=24, help_text="Scan it, or type the number on it")
    reading = forms.CharField(label="The scale says", max_length=16)
    what = forms.ChoiceField(label="This reading is", choices=WHATS, widget=forms.RadioSelect)
    scale = forms.ModelChoiceField(label="Scale", queryset=Equipment.objects.none(), empty_label=None)
    style = forms.ChoiceField(label="On the pan", choices=[(one.value, one.value) for one in Style])
    seen = forms.CharField(required=False, widget=forms.HiddenInput)
    unit = forms.ChoiceField(
        required=False,
        choices=[("", ""), *((one.value, one.value) for one in Unit)],
        widget=forms.HiddenInput,
    )

    def __init__(self, *args: Any, sheet: Sheet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet = sheet
        shop = sheet.job.establishment
        self.fields["scale"].queryset = in_service(shop, sheet.job.on, "scale")  # type: ignore[attr-defined]
        self.offered = list(free_cans(sheet)[:12])

    def clean_container(self) -> Container:
        code = self.cleaned_data["container"].strip().upper()
        digits = code.removeprefix("K-").removeprefix("K")
        code = f"K-{int(digits):04d}" if digits.isdigit() else code
        can = (
            Container.objects.filter(establishment=self.sheet.job.establishment, pk=code)
            .select_related("can__type", "fate")
            .first()
        )
        if can is None or can.kind != "can":
            raise forms.ValidationError(f"There is no can {code} in the book. Read its number again.")
        return can

    def clean(self) -> dict[str, Any]:
        """Read the number in the scale's unit, or in the unit that was meant; the service compares it with the can."""
        cleaned = super().clean() or {}
        scale = cleaned.get("scale")
        if scale is not None and cleaned.get("reading"):
            unit = Unit(cleaned.get("unit") or scale.unit)
            reading, found = read_mass(cleaned["reading"], unit, field="reading")
            for finding in found:
                if finding.blocks:
                    self.add_error("reading", finding.message)
            cleaned["read"] = reading
        return cleaned

    def weighing(self) -> WeighingIn:
        typed = self.cleaned_data
        return WeighingIn(
            container=typed["container"],
            ticket=TicketIn(typed["scale"], typed["read"], Style(typed["style"]), Origin.WEIGHED),
            moment=MOMENTS[typed["what"]],
            emptied=typed["what"] == EMPTY,
            stays_on=typed["what"] in (LEAK_TEST, STAYS),
            seen=tuple(typed["seen"].split()),
        )


class FinishChargeForm(forms.Form):
    hoses = forms.DecimalField(label="Left in the hoses, g", min_value=0, max_value=60, decimal_places=1)
    purged = forms.IntegerField(label="Hoses purged, times", min_value=0, max_value=20, initial=0)
    released = forms.DecimalField(
        label="Released by mishap, g",
        min_value=0,
        max_value=3000,
        decimal_places=1,
        initial=0,
        help_text="Got into the air without being meant to: a tap left open, a seal that failed.",
    )
    released_why = forms.CharField(label="What happened and what was done", required=False, max_length=200)

    def __init__(self, *args: Any, sheet: Sheet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rules = sheet.rules
        self.fields["hoses"].initial = sheet.rules.hose_allowance_g
        self.fields["hoses"].help_text = f"Shop allowance: {sheet.rules.hose_allowance_g} g"

    def charge(self) -> ChargeIn:
        typed = self.cleaned_data
        hoses = grams(typed["hoses"])
        return ChargeIn(
            hoses=hoses,
            hoses_give_or_take=grams(self.rules.hose_give_or_take_g) if hoses > ZERO else ZERO,
            purge=grams(self.rules.purge_allowance_g * typed["purged"]),
            released=grams(typed["released"]),
            released_why=typed["released_why"],
        )
