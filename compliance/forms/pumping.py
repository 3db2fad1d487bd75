"""The forms of recovery, evacuation and the two holds: cylinders, pumps, gauges and clocks."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django import forms
from django.db.models import Case, When
from django.utils.translation import gettext_lazy as _

from compliance.core.stages import HoldResult, Identified, PressureResult, StageKind
from compliance.forms.stages import StageForm
from compliance.services import (
    EvacuationIn,
    HoldIn,
    LeakTestIn,
    RecoveryIn,
    record_evacuation,
    record_leak_test,
    record_recovery,
)
from inventory.core.refrigerants import UNKNOWN
from inventory.models import Container
from inventory.queries import in_the_cabinet
from shop.forms import (
    BAROMETER,
    PRESSURE,
    TEMPERATURE,
    VACUUM,
    GaugeField,
    MomentField,
    ReadingField,
    ScaleSelect,
    WholeField,
    reading_on,
)
from shop.models import Equipment, Person
from shop.queries import in_service


class RecoveryForm(StageForm):
    kind = StageKind.RECOVERY
    machine = forms.ModelChoiceField(
        label=_("Recovery machine"), queryset=Equipment.objects.none(), empty_label=None
    )
    cylinder = forms.ModelChoiceField(
        label=_("Into cylinder"), queryset=Container.objects.none(), empty_label=None
    )
    before = ReadingField(
        label=_("Cylinder before"),
        max_length=16,
        help_text=_("What the scale shows, in its own unit"),
    )
    after = ReadingField(
        label=_("Cylinder after"),
        max_length=16,
        help_text=_("Nothing came out? Type the same number; that is a recovery too."),
    )
    started_at = MomentField(label=_("Started"))
    scale = forms.ModelChoiceField(
        label=_("Weighed on scale"), queryset=Equipment.objects.none(), empty_label=None, widget=ScaleSelect
    )
    identified = forms.ChoiceField(
        label=_("The identifier said"),
        choices=[(one.value, _(one.value)) for one in Identified],
        initial=Identified.NOT_USED.value,
    )
    gauge = GaugeField(PRESSURE, label=_("Gauge before"), required=False)
    bay = GaugeField(TEMPERATURE, label=_("Bay temperature"), required=False)
    note = forms.CharField(
        label=_("Note"), required=False, max_length=200, help_text=_("For example: oil out 5 mL")
    )

    more = ("started_at", "scale", "identified", "gauge", "bay", "note", "uncertified")

    def offer(self) -> None:
        shop, day = self.job.establishment, self.job.on
        machines = [one.pk for one in self.equipment("machine") if one.takes(self.refrigerant)]
        cylinders = in_the_cabinet(shop).filter(kind="cylinder", refrigerant__in=[self.refrigerant, UNKNOWN])
        self.fields["machine"].queryset = in_service(shop, day, "machine").filter(pk__in=machines)  # type: ignore[attr-defined]
        own_first = Case(When(refrigerant=self.refrigerant, mixed=None, then=0), default=1)
        self.fields["cylinder"].queryset = cylinders.order_by(own_first, "place_id")  # type: ignore[attr-defined]
        self.fields["scale"].queryset = in_service(shop, day, "scale")  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("scale") is not None:
            for name in ("before", "after"):
                cleaned[f"{name}_read"] = reading_on(cleaned["scale"], self, name)
        return cleaned

    def write(self, *, at: datetime, by: Person) -> None:
        typed = self.cleaned_data
        recovery = RecoveryIn(
            machine=typed["machine"],
            cylinder=typed["cylinder"],
            scale=typed["scale"],
            before=typed["before_read"],
            after=typed["after_read"],
            started_at=typed["started_at"],
            note=typed["note"],
            gauge=typed["gauge"],
            identified=Identified(typed["identified"]),
            bay=typed["bay"],
        )
        record_recovery(self.job, recovery, uncertified=typed["uncertified"], at=at, by=by)


class HoldForm(StageForm):
    """A stage with a hold: its two clock times, or its minutes when no clock was pressed."""

    def hold(self) -> HoldIn | None:
        typed = self.cleaned_data
        began, ended = typed.get("hold_started_at"), typed.get("hold_stopped_at")
        by_hand = typed.get("hold_minutes") or typed.get("minutes")
        return HoldIn(began, ended) if began and ended and not by_hand else None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("hold_stopped_at") and not cleaned.get("hold_started_at"):
            self.add_error("hold_started_at", _("The hold has an end and no beginning. Type its time."))
        if cleaned.get("hold_started_at") and not cleaned.get("hold_stopped_at"):
            self.add_error(
                "hold_stopped_at", _("The hold is still running. Press its end, or type the time.")
            )
        return cleaned


class EvacuationForm(HoldForm):
    kind = StageKind.EVACUATION
    clocks = ("started_at", "stopped_at", "hold_started_at", "hold_stopped_at")
    started_at = MomentField(label=_("Pump started"))
    stopped_at = MomentField(label=_("Pump stopped"))
    deepest = GaugeField(VACUUM, label=_("Deepest reading"))
    hold_started_at = MomentField(label=_("Hold began"), required=False)
    hold_from = GaugeField(VACUUM, label=_("Reading when the hold began"), required=False)
    hold_middle = GaugeField(
        VACUUM,
        label=_("Reading half way"),
        required=False,
        help_text=_("At half the time of the hold. With it, a leak and moisture may be told apart."),
    )
    hold_stopped_at = MomentField(label=_("Hold ended"), required=False)
    hold_to = GaugeField(VACUUM, label=_("Reading when it ended"), required=False)
    temperature = GaugeField(TEMPERATURE, label=_("Bay temperature"), required=False)
    result = forms.ChoiceField(
        label=_("The hold"),
        choices=[(one.value, _(one.value)) for one in HoldResult],
        widget=forms.RadioSelect,
    )
    hold_minutes = WholeField(
        label=_("Held, minutes by hand (they count before the clock)"), most=5760, required=False
    )
    pump = forms.ChoiceField(label=_("Pump"))
    gauge = forms.CharField(
        label=_("Gauge"),
        required=False,
        max_length=40,
        help_text=_("For example: compound gauge, electronic gauge VG-1"),
    )
    barometer = GaugeField(
        BAROMETER,
        label=_("Barometer"),
        required=False,
        help_text=_("What it shows here. A weather report is corrected to sea level."),
    )

    more = (
        "started_at",
        "stopped_at",
        "hold_started_at",
        "hold_stopped_at",
        "hold_minutes",
        "pump",
        "gauge",
        "barometer",
        "uncertified",
    )

    def offer(self) -> None:
        pumps = [(one.code, one.code) for one in self.equipment("pump")]
        self.fields["pump"].choices = [*pumps, ("machine", _("the recovery machine's own pump"))]  # type: ignore[attr-defined]

    def write(self, *, at: datetime, by: Person) -> None:
        typed = self.cleaned_data
        evacuation = EvacuationIn(
            pump=typed["pump"],
            started_at=typed["started_at"],
            stopped_at=typed["stopped_at"],
            deepest=typed["deepest"],
            result=typed["result"],
            gauge=typed["gauge"],
            hold_minutes=typed["hold_minutes"] or 0,
            hold_from=typed["hold_from"],
            hold_to=typed["hold_to"],
            hold=self.hold(),
            hold_middle=typed["hold_middle"],
            barometer=typed["barometer"],
            temperature=typed["temperature"],
        )
        record_evacuation(self.job, evacuation, uncertified=typed["uncertified"], at=at, by=by)


class LeakTestForm(HoldForm):
    kind = StageKind.LEAK_TEST
    clocks = ("hold_started_at", "hold_stopped_at")
    hold_started_at = MomentField(label=_("Hold began"), required=False)
    pressure_start = GaugeField(PRESSURE, label=_("Pressure at the start"), required=False)
    temperature = GaugeField(TEMPERATURE, label=_("Bay temperature at the start"), required=False)
    hold_stopped_at = MomentField(label=_("Hold ended"), required=False)
    pressure_end = GaugeField(PRESSURE, label=_("Pressure at the end"), required=False)
    temperature_end = GaugeField(TEMPERATURE, label=_("Bay temperature at the end"), required=False)
    result = forms.ChoiceField(
        label=_("What the gauge did"),
        choices=[(one.value, _(one.value)) for one in PressureResult],
        widget=forms.RadioSelect,
    )
    minutes = WholeField(
        label=_("Held, minutes by hand (they count before the clock)"), most=2880, required=False
    )
    barometer = GaugeField(
        BAROMETER,
        label=_("Barometer"),
        required=False,
        help_text=_("As it stands in the bay, not a weather report's. Empty: by the shop's height."),
    )

    more = ("hold_started_at", "hold_stopped_at", "minutes", "barometer", "uncertified")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("minutes") is None and self.hold() is None and "minutes" not in self.errors:
            self.add_error("minutes", _("Press the clock at both ends of the hold, or type its minutes."))
        return cleaned

    def write(self, *, at: datetime, by: Person) -> None:
        typed = self.cleaned_data
        test = LeakTestIn(
            typed["minutes"] or 0,
            typed["result"],
            typed["pressure_start"],
            typed["pressure_end"],
            typed["temperature"],
            typed["temperature_end"],
            typed["barometer"],
            hold=self.hold(),
        )
        record_leak_test(self.job, test, uncertified=typed["uncertified"], at=at, by=by)
