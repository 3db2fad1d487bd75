"""Lists of jobs."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Prefetch, QuerySet

from compliance.core.stages import StageKind
from compliance.models import CheckIn, Job, OnTheCar, Stage
from compliance.queries.corrections import put_check_ins_right
from shop.models import Establishment, Vehicle


def open_jobs(establishment: Establishment) -> QuerySet[Job]:
    """Cars in the bays, oldest first, each with its stages and the cans that hang on it."""
    stages = Stage.objects.select_related("checkin").order_by("pk")
    cans = OnTheCar.objects.select_related("container")
    return (
        Job.objects.at_shop(establishment)
        .open()
        .prefetch_related(Prefetch("stages", queryset=stages), Prefetch("cans_on_the_car", queryset=cans))
        .order_by("pk")
    )


def closed_jobs(establishment: Establishment) -> QuerySet[Job]:
    """Closed jobs, newest first."""
    return Job.objects.at_shop(establishment).closed().select_related("closing__by")


def check_ins(jobs: Iterable[Job]) -> dict[int, CheckIn]:
    """The check-in that holds of each job, as its correction slips put it right, by the job's key. Two queries."""
    rows = CheckIn.objects.filter(stage__job__in=jobs, stage__kind=StageKind.CHECK_IN)
    ordered = rows.select_related("stage__label").order_by("stage__version", "stage")
    seen = {one.stage.job_id: one for one in ordered}
    put_check_ins_right(seen)
    return seen


def vehicle_history(vehicle: Vehicle) -> QuerySet[Job]:
    """Earlier visits of this vehicle, newest first, with what the label said then."""
    labels = (
        Stage.objects.filter(kind=StageKind.CHECK_IN).select_related("checkin", "label").order_by("-version")
    )
    return (
        Job.objects.filter(vehicle=vehicle)
        .select_related("closing")
        .prefetch_related(Prefetch("stages", queryset=labels, to_attr="check_ins"))
    )
