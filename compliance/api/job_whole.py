"""How a job is told: in a list, and whole, with what stands between it and its signature."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from compliance.api.bends import AskedOut, ChoiceOut, HandOverOut, MischargeOut, asked_of
from compliance.api.charge_out import ChargeSumOut
from compliance.api.job_stages import FindingSaidOut, JobCheckInOut, StageOut, WorkedOut
from compliance.api.papers import PaperOut
from compliance.core.stages import StageKind
from compliance.models import Closing, Document, Job, JobHold
from compliance.queries import Sheet, job_sheet
from compliance.queries.corrections import corrections_of
from compliance.queries.facts import reconciliation
from compliance.queries.holds import hold_of
from compliance.queries.lines import stage_lines
from compliance.queries.visits import came_back
from compliance.services import signing_problems
from shop.models import Person


class EndedOut(serializers.Serializer[Closing]):
    """The signature under a job, on the day of its work."""

    on = serializers.DateField()
    charged = serializers.BooleanField()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class JobRowOut(serializers.Serializer[Job]):
    """A job by its number: which car, since when, and how it ended."""

    number = serializers.CharField()
    on = serializers.DateField()
    vin = serializers.CharField(source="vehicle.vin")
    plate = serializers.CharField(source="seen.plate", help_text="As it was at check-in.")
    vehicle = serializers.CharField(source="vehicle.description")
    refrigerant = serializers.CharField(source="seen.refrigerant_id")
    complaint = serializers.CharField(source="seen.complaint")
    checked_in_at = serializers.DateTimeField(source="at")
    checked_in_by = serializers.CharField(source="by.name")
    closing = EndedOut(default=None, allow_null=True)


class JobHeldOut(serializers.Serializer[JobHold]):
    """A hold that keeps a job's records from being cleared."""

    why = serializers.CharField()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class JobOut(JobRowOut):
    """A job whole. ``closing_findings`` is what the closing would say of it now: what blocks stops the signature."""

    check_in = JobCheckInOut(source="seen")
    stages = StageOut(many=True, help_text="The version that holds of every pass, in the order of writing.")
    next_stage = serializers.ChoiceField(
        [one.value for one in StageKind], allow_null=True, help_text="The first stage that waits."
    )
    on_the_car = serializers.ListField(child=serializers.CharField(), help_text="Cans that hang on it now.")
    sum = ChargeSumOut(allow_null=True)
    since_last_visit = WorkedOut(allow_null=True, help_text="What the car lost since it was here before.")
    choices = ChoiceOut(many=True)
    hand_overs = HandOverOut(many=True)
    mischarges = MischargeOut(many=True)
    asked = AskedOut(many=True, help_text="What rule packs want looked at, or said to the customer.")
    closing_findings = FindingSaidOut(many=True)
    certificate = PaperOut(allow_null=True, help_text="Its newest version.")
    corrections = serializers.ListField(
        child=serializers.CharField(), help_text="Correction slips, by number."
    )
    held = JobHeldOut(allow_null=True)


def whole(job: Job, by: Person) -> dict[str, Any]:
    """Everything that ``JobOut`` tells of a job, in a fixed number of queries."""
    sheet, closing = job_sheet(job), getattr(job, "closing", None)
    about = {name: getattr(job, name) for name in ("number", "on", "vehicle", "at", "by")}
    return about | {
        "closing": closing,
        "seen": sheet.check_in,
        "stages": sheet.written,
        "on_the_car": [one.container.code for one in sheet.cans if one.hanging],
        "sum": reconciliation(sheet),
        "choices": job.choices.select_related("by"),
        "hand_overs": job.hand_overs.select_related("by", "to"),
        "mischarges": sheet.mischarges,
        **(_still_to_do(sheet, by) if closing is None else _afterwards(closing)),
    }


def _still_to_do(sheet: Sheet, by: Person) -> dict[str, Any]:
    back = came_back(sheet)
    waiting = (one.kind for one in stage_lines(sheet) if one.shape in ("look", "waiting"))
    return {
        "next_stage": next(waiting, None),
        "since_last_visit": back.answer if back is not None else None,
        "asked": asked_of(sheet, by.role),
        "closing_findings": signing_problems(sheet, by=by),
        "certificate": None,
        "corrections": [],
        "held": None,
    }


def _afterwards(closing: Closing) -> dict[str, Any]:
    papers = Document.objects.filter(certificate__closing=closing).defer("pdf", "facts")
    return {
        "next_stage": None,
        "since_last_visit": None,
        "asked": [],
        "closing_findings": [],
        "certificate": papers.select_related("replaced_by", "withdrawal").order_by("version").last(),
        "corrections": [slip.number for slip in corrections_of(closing.job)],
        "held": hold_of(closing.job),
    }
