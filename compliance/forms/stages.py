"""One form for each stage of a job. ``write`` hands what was typed to the stage's service."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django import forms

from compliance.core.stages import (
    LEAK_METHODS,
    LEAK_PLACES,
    HoldResult,
    LeakResult,
    Outcome,
    PressureResult,
    StageKind,
)
from compliance.models import Job
from compliance.services import (
    EvacuationIn,
    FinalReadingsIn,
    LeakCheckIn,
    LeakTestIn,
    RecoveryIn,
    record_evacuation,
    record_final_readings,
    record_leak_check,
    record_leak_test,
    record_recovery,
    record_repair,
    skip_stage,
)
from inventory.models import Container
from inventory.queries import in_the_cabinet
from shop.core.mass import Unit
from shop.core.reading import read_mass
from shop.models import Equipment, Person
from shop.queries import in_service


class Moment(forms.DateTimeInput):
    input_type = "datetime-local"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%dT%H:%M")


class StageForm(forms.Form):
    """Every stage form knows its job, so that it offers only what fits it."""

    kind: StageKind

    def __init__(self, *args: Any, job: Job, refrigerant: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.job, self.refrigerant = job, refrigerant
        self.offer()

    def offer(self) -> None:
        """Fill the choices that depend on the job."""

    def equipment(self, *kinds: str) -> list[Equipment]:
        return list(in_service(self.job.establishment, self.job.on, *kinds))

    def write(self, *, at: datetime, by: Person) -> None:
        raise TypeError("every stage form writes its own stage")


class RecoveryForm(StageForm):
    kind = StageKind.RECOVERY
    machine = forms.ModelChoiceField(
        label="Recovery machine", queryset=Equipment.objects.none(), empty_label=None
    )
    cylinder = forms.ModelChoiceField(
        label="Into cylinder", queryset=Container.objects.none(), empty_label=None
    )
    scale = forms.ModelChoiceField(
        label="Weighed on scale", queryset=Equipment.objects.none(), empty_label=None
    )
    started_at = forms.DateTimeField(label="Started", widget=Moment())
    before = forms.CharField(
        label="Cylinder before", max_length=16, help_text="What the scale shows, in its own unit"
    )
    after = forms.CharField(
        label="Cylinder after",
        max_length=16,
        help_text="Nothing came out? Type the same number; that is a recovery too.",
    )
    note = forms.CharField(
        label="Note", required=False, max_length=200, help_text="For example: oil out 5 mL"
    )

    def offer(self) -> None:
        shop, day = self.job.establishment, self.job.on
        machines = [one.pk for one in self.equipment("machine") if one.takes(self.refrigerant)]
        cylinders = in_the_cabinet(shop).filter(kind="cylinder", refrigerant=self.refrigerant)
        self.fields["machine"].queryset = in_service(shop, day, "machine").filter(pk__in=machines)  # type: ignore[attr-defined]
        self.fields["cylinder"].queryset = cylinders  # type: ignore[attr-defined]
        self.fields["scale"].queryset = in_service(shop, day, "scale")  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        scale = cleaned.get("scale")
        for name in ("before", "after"):
            if scale is not None and cleaned.get(name):
                reading, found = read_mass(
                    cleaned[name], Unit(scale.unit), division=scale.division, field=name
                )
                for finding in found:
                    if finding.blocks:
                        self.add_error(name, finding.message)
                cleaned[f"{name}_read"] = reading
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
        )
        record_recovery(self.job, recovery, at=at, by=by)


class LeakCheckForm(StageForm):
    kind = StageKind.LEAK_CHECK
    methods = forms.MultipleChoiceField(
        label="How",
        choices=[(one, one) for one in LEAK_METHODS],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    instrument = forms.CharField(label="Detector used", required=False, max_length=80)
    places = forms.MultipleChoiceField(
        label="Where",
        choices=[(one, one) for one in LEAK_PLACES],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    result = forms.ChoiceField(
        label="Result",
        choices=[(one.value, one.value.capitalize()) for one in LeakResult],
        widget=forms.RadioSelect,
    )
    detail = forms.CharField(
        label="Where and how big, or why not tested",
        required=False,
        max_length=300,
        help_text="Seep, steady or heavy",
    )

    def write(self, *, at: datetime, by: Person) -> None:
        typed = self.cleaned_data
        check = LeakCheckIn(
            tuple(typed["methods"]),
            tuple(typed["places"]),
            typed["result"],
            typed["instrument"],
            typed["detail"],
        )
        record_leak_check(self.job, check, at=at, by=by)


class RepairForm(StageForm):
    kind = StageKind.REPAIR
    what = forms.CharField(
        label="What was repaired", max_length=300, widget=forms.Textarea(attrs={"rows": 3})
    )

    def write(self, *, at: datetime, by: Person) -> None:
        record_repair(self.job, what=self.cleaned_data["what"], at=at, by=by)


class EvacuationForm(StageForm):
    kind = StageKind.EVACUATION
    pump = forms.ChoiceField(label="Pump")
    gauge = forms.CharField(
        label="Gauge",
        required=False,
        max_length=40,
        help_text="For example: compound gauge, electronic gauge VG-1",
    )
    started_at = forms.DateTimeField(label="Pump started", widget=Moment())
    stopped_at = forms.DateTimeField(label="Pump stopped", widget=Moment())
    deepest = forms.CharField(
        label="Deepest reading, with its unit",
        max_length=24,
        help_text="For example: 29.2 inHg, or 600 micron",
    )
    hold_minutes = forms.IntegerField(label="Held, minutes", min_value=0, max_value=5760, required=False)
    hold_from = forms.CharField(label="Reading when the hold began", required=False, max_length=24)
    hold_to = forms.CharField(label="Reading when it ended", required=False, max_length=24)
    result = forms.ChoiceField(
        label="The hold",
        choices=[(one.value, one.value.capitalize()) for one in HoldResult],
        widget=forms.RadioSelect,
    )

    def offer(self) -> None:
        pumps = [(one.code, one.code) for one in self.equipment("pump")]
        self.fields["pump"].choices = [*pumps, ("machine", "the recovery machine's own pump")]  # type: ignore[attr-defined]

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
        )
        record_evacuation(self.job, evacuation, at=at, by=by)


class LeakTestForm(StageForm):
    kind = StageKind.LEAK_TEST
    minutes = forms.IntegerField(label="Held, minutes", min_value=0, max_value=2880)
    pressure_start = forms.CharField(
        label="Pressure at the start, with its unit", required=False, max_length=24
    )
    pressure_end = forms.CharField(label="Pressure at the end, with its unit", required=False, max_length=24)
    temperature = forms.CharField(label="Bay temperature, with its unit", required=False, max_length=24)
    result = forms.ChoiceField(
        label="What the gauge did",
        choices=[(one.value, one.value.capitalize()) for one in PressureResult],
        widget=forms.RadioSelect,
    )

    def write(self, *, at: datetime, by: Person) -> None:
        typed = self.cleaned_data
        test = LeakTestIn(
            typed["minutes"],
            typed["result"],
            typed["pressure_start"],
            typed["pressure_end"],
            typed["temperature"],
        )
        record_leak_test(self.job, test, at=at, by=by)


class FinalReadingsForm(StageForm):
    kind = StageKind.FINAL_READINGS
    vent = forms.CharField(
        label="Vent air, with its unit", required=False, max_length=24, help_text="For example: 44 °F"
    )
    low_side = forms.CharField(
        label="Low side, with its unit", required=False, max_length=24, help_text="For example: 31 psi"
    )
    high_side = forms.CharField(label="High side, with its unit", required=False, max_length=24)
    outdoor = forms.CharField(label="Outdoor air, with its unit", required=False, max_length=24)
    humidity = forms.CharField(
        label="Humidity", required=False, max_length=24, help_text="For example: 38 % RH"
    )
    engine = forms.CharField(
        label="Engine", required=False, max_length=24, help_text="For example: 1,500 rpm"
    )
    blower = forms.CharField(label="Blower", required=False, max_length=24)
    mode = forms.CharField(label="Air", required=False, max_length=24, help_text="Recirculate or fresh")
    caps_on = forms.BooleanField(label="Port caps are on", required=False)
    note = forms.CharField(label="Note", required=False, max_length=200)

    def write(self, *, at: datetime, by: Person) -> None:
        record_final_readings(self.job, FinalReadingsIn(**self.cleaned_data), at=at, by=by)


class SkipForm(StageForm):
    outcome = forms.ChoiceField(
        label="This stage",
        choices=[
            (Outcome.NOT_NEEDED.value, "Not needed because"),
            (Outcome.STOPPED.value, "Stopped because"),
        ],
        widget=forms.RadioSelect,
        initial=Outcome.NOT_NEEDED.value,
    )
    reason = forms.CharField(label="Why", max_length=300)

    def write_for(self, kind: StageKind, *, at: datetime, by: Person) -> None:
        typed = self.cleaned_data
        skip_stage(self.job, kind, Outcome(typed["outcome"]), reason=typed["reason"], at=at, by=by)


STAGE_FORMS: dict[StageKind, type[StageForm]] = {
    form.kind: form
    for form in (RecoveryForm, LeakCheckForm, RepairForm, EvacuationForm, LeakTestForm, FinalReadingsForm)
}
