"""Photos of a job, kept beside its other records, so that one backup holds everything."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from compliance.core.stages import StageKind
from compliance.models.jobs import Job
from shop.records import Record


class Photos(models.QuerySet["Photo"]):
    def shown(self) -> Photos:
        """All but those that were set aside or cleared."""
        return self.filter(set_aside=None).exclude(jpeg=b"")


class Photo(Record):
    """One cleaned picture: JPEG, at most 1600 pixels a side, nothing hidden in it."""

    class What(models.TextChoices):
        LABEL = "label", "Under-hood label"
        SCALE = "scale", "Scale"
        LEAK = "leak", "Leak place"
        OTHER = "other", "Something else"

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="photos")
    what = models.CharField("what it shows", max_length=8, choices=What.choices)
    stage = models.CharField(max_length=20, choices=[(kind.value, kind.label) for kind in StageKind])
    jpeg = models.BinaryField("JPEG")
    sha256 = models.CharField("SHA-256", max_length=64)
    width = models.PositiveSmallIntegerField()
    height = models.PositiveSmallIntegerField()
    caption = models.CharField(max_length=120, blank=True)

    objects = Photos.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["job", "stage", "sha256"], name="photo_is_kept_once_for_a_stage"),
            models.CheckConstraint(condition=Q(width__gt=0) & Q(height__gt=0), name="photo_shows_something"),
        ]

    def __str__(self) -> str:
        return f"{self.job} photo {self.pk}"


class PhotoSetAside(Record):
    """A photo taken by mistake: kept, and no longer shown."""

    photo = models.OneToOneField(Photo, on_delete=models.PROTECT, related_name="set_aside")
    why = models.CharField(max_length=200)

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="photo_set_aside_says_why")]
