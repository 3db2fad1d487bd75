"""A job at a vehicle and its stages. A job is closed when a Closing row exists; nothing else says so."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from compliance.core.stages import Outcome, StageKind
from inventory.models import Container
from shop.models import Establishment, Person, Vehicle
from shop.records import Record


class Jobs(models.QuerySet["Job"]):
    def open(self) -> Jobs:
        return self.filter(closing=None)

    def closed(self) -> Jobs:
        return self.exclude(closing=None)

    def at_shop(self, establishment: Establishment) -> Jobs:
        return self.filter(establishment=establishment).select_related("vehicle", "by")


class Job(Record):
    """One visit of one vehicle."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="jobs")
    number = models.CharField(max_length=16)
    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="jobs")
    on = models.DateField()

    objects = Jobs.as_manager()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "number"], name="job_number_is_given_once")
        ]
        indexes = [models.Index(fields=["establishment", "-id"], name="jobs_newest_first")]

    def __str__(self) -> str:
        return self.number


class Stage(Record):
    """One stage of a job as it was left: done, not needed because, or stopped.

    ``turn`` counts passes (a second recovery after an overshoot is turn 2); ``version`` counts how often a pass was
    written down again before the job closed. The highest version of a turn holds; the earlier ones are kept.
    """

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="stages")
    kind = models.CharField(max_length=20, choices=[(kind.value, kind.label) for kind in StageKind])
    turn = models.PositiveSmallIntegerField(default=1)
    version = models.PositiveSmallIntegerField(default=1)
    outcome = models.CharField(max_length=12, choices=[(outcome.value, outcome.value) for outcome in Outcome])
    reason = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "kind", "turn", "version"], name="stage_version_is_written_once"
            ),
            models.CheckConstraint(
                condition=Q(outcome="done") | ~Q(reason=""), name="stage_not_done_says_why"
            ),
        ]


class OnTheCar(models.Model):
    """A can that hangs on a car now. One row at most for each can, so that it cannot be on two cars."""

    container = models.OneToOneField(
        Container, on_delete=models.PROTECT, primary_key=True, related_name="on_the_car"
    )
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="cans_on_the_car")
    since = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")


class Draft(models.Model):
    """What was typed on a stage's page and not yet kept as done, so that nothing is lost by walking away."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="drafts")
    kind = models.CharField(max_length=20)
    typed = models.JSONField()
    saved_at = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["job", "kind"], name="draft_is_kept_once")]
