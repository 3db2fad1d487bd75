"""One form for each stage of a job. ``write`` hands what was typed to the stage's service."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from compliance.core.stages import (
    AIR_MODES,
    BLOWER_SPEEDS,
    LEAK_METHODS,
    LEAK_PLACES,
    LEAK_SIZES,
    NEED_A_CARD,
    LeakResult,
    Outcome,
    StageKind,
)
from compliance.models import Job
from compliance.services import (
    FinalReadingsIn,
    LeakCheckIn,
    record_final_readings,
    record_leak_check,
    record_repair,
    skip_stage,
)
from shop.forms import HUMIDITY, PRESSURE, TEMPERATURE, GaugeField, WholeField
from shop.models import Equipment, Person
from shop.queries import in_service

MANY = ("methods", "places")  # fields with more than one answer


class StageForm(forms.Form):
    """Every stage form knows its job, so that it offers only what fits it. Fields named in ``more`` stand folded."""

    kind: StageKind
    more: tuple[str, ...] = ("uncertified",)
    asked: tuple[str, ...] = ()

    def __init__(self, *args: Any, job: Job, refrigerant: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.job, self.refrigerant = job, refrigerant
        if getattr(self, "kind", None) in NEED_A_CARD:
            self.fields["uncertified"] = forms.CharField(
                label=_("Done by somebody without a 609 card: name"),
                required=False,
                max_length=80,
                help_text=_("Only when it happened. You write it down, you do not sign in their place."),
            )
        for name in self.asked:
            self.fields[name].asked = True  # type: ignore[attr-defined] # the service asks for it in most cases
        self.offer()

    def offer(self) -> None:
        """Fill the choices that depend on the job."""

    def equipment(self, *kinds: str) -> list[Equipment]:
        return list(in_service(self.job.establishment, self.job.on, *kinds))

    def write(self, *, at: datetime, by: Person) -> None:
        raise TypeError("every stage form writes its own stage")

    @classmethod
    def typed_before(cls, typed: dict[str, Any]) -> dict[str, Any]:
        """What a draft kept, as the form's beginning; a field of two boxes gets both."""
        begin = dict(typed)
        for name in typed:
            for second in ("unit", "instant"):
                if f"{name}_{second}" in typed:
                    begin[name] = [typed[name], typed[f"{name}_{second}"]]
        return begin


class LeakCheckForm(StageForm):
    kind = StageKind.LEAK_CHECK
    asked = ("methods", "places")
    result = forms.ChoiceField(
        label=_("Result"),
        choices=[(one.value, _(one.value)) for one in LeakResult],
        widget=forms.RadioSelect,
    )
    methods = forms.MultipleChoiceField(
        label=_("How"),
        choices=[(str(one), _(one)) for one in LEAK_METHODS],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    instrument = forms.ChoiceField(label=_("Detector used"), required=False)
    places = forms.MultipleChoiceField(
        label=_("Where it was looked for"),
        choices=[(str(one), _(one)) for one in LEAK_PLACES],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    size = forms.ChoiceField(
        label=_("How big, when one was found"),
        choices=[("", _("none found")), *((str(one), _(one)) for one in LEAK_SIZES)],
        required=False,
    )
    detail = forms.CharField(
        label=_("Where the leak is, or why it was not tested"), required=False, max_length=280
    )

    def offer(self) -> None:
        known = [(one.code, one.code) for one in self.equipment("detector")]
        self.fields["instrument"].choices = [*known, ("", _("none"))]  # type: ignore[attr-defined]
        self.fields["instrument"].initial = known[0][0] if known else ""

    def write(self, *, at: datetime, by: Person) -> None:
        typed = self.cleaned_data
        used = typed["instrument"] if "electronic detector" in typed["methods"] else ""
        detail = ", ".join(part for part in (typed["detail"].strip(), typed["size"]) if part)
        check = LeakCheckIn(tuple(typed["methods"]), tuple(typed["places"]), typed["result"], used, detail)
        record_leak_check(self.job, check, uncertified=typed["uncertified"], at=at, by=by)


class RepairForm(StageForm):
    kind = StageKind.REPAIR
    what = forms.CharField(
        label=_("What was repaired"), max_length=300, widget=forms.Textarea(attrs={"rows": 3})
    )

    def write(self, *, at: datetime, by: Person) -> None:
        typed = self.cleaned_data
        record_repair(self.job, what=typed["what"], uncertified=typed["uncertified"], at=at, by=by)


NOT_NOTED = ("", _("not noted"))


class FinalReadingsForm(StageForm):
    kind = StageKind.FINAL_READINGS
    vent = GaugeField(TEMPERATURE, label=_("Vent air"), required=False)
    inlet = GaugeField(TEMPERATURE, label=_("Air going in"), required=False)
    outdoor = GaugeField(TEMPERATURE, label=_("Outdoor air"), required=False)
    humidity = GaugeField(HUMIDITY, label=_("Humidity of the air going in"), required=False)
    low_side = GaugeField(PRESSURE, label=_("Low side"), required=False)
    high_side = GaugeField(PRESSURE, label=_("High side"), required=False)
    mode = forms.ChoiceField(
        label=_("Air"),
        choices=[*((str(one), _(one)) for one in AIR_MODES), NOT_NOTED],
        widget=forms.RadioSelect,
        required=False,
    )
    blower = forms.ChoiceField(
        label=_("Blower"),
        choices=[*((str(one), _(one)) for one in BLOWER_SPEEDS), NOT_NOTED],
        widget=forms.RadioSelect,
        required=False,
    )
    engine = GaugeField(("rpm",), label=_("Engine"), required=False)
    minutes = WholeField(label=_("Minutes running"), most=600, required=False)
    caps_on = forms.BooleanField(label=_("Port caps are on"), required=False)
    note = forms.CharField(label=_("Note"), required=False, max_length=200)

    more = ("note",)

    def write(self, *, at: datetime, by: Person) -> None:
        record_final_readings(self.job, FinalReadingsIn(**self.cleaned_data), at=at, by=by)


class SkipForm(StageForm):
    outcome = forms.ChoiceField(
        label=_("This stage"),
        choices=[
            (Outcome.NOT_NEEDED.value, _("Not needed because")),
            (Outcome.STOPPED.value, _("Stopped because")),
        ],
        widget=forms.RadioSelect,
        initial=Outcome.NOT_NEEDED.value,
    )
    reason = forms.CharField(label=_("Why"), max_length=300)

    def write_for(self, kind: StageKind, *, at: datetime, by: Person) -> None:
        typed = self.cleaned_data
        skip_stage(self.job, kind, Outcome(typed["outcome"]), reason=typed["reason"], at=at, by=by)
