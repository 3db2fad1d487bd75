"""Clearing old records: asked, confirmed, brought back or done; what was put away meanwhile, and what stood where.

Each step is a row of its own. The guards in ``compliance.records`` let a detail leave its row only into ``PutAway``,
and leave that only back onto its row or, after the days to undo, for good.
"""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from compliance.models.jobs import Job
from compliance.models.packages import Package
from shop.models import Establishment
from shop.records import Final, Record


class Clearing(Record):
    """The owner asks to clear what an archive holds, and showed by its hash that the archive is at hand."""

    class How(models.TextChoices):
        TYPED = "typed", "SHA-256 typed"
        FILE = "file", "Archive file compared"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="clearings")
    archive = models.ForeignKey(Package, on_delete=models.PROTECT, related_name="clearings")
    how = models.CharField("how the archive was shown", max_length=8, choices=How.choices)
    on = models.DateField("day in the shop")

    class Meta:
        ordering = ["-pk"]


class ClearingJob(Final):
    """One job whose details go."""

    clearing = models.ForeignKey(Clearing, on_delete=models.PROTECT, related_name="jobs")
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="clearings")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["clearing", "job"], name="clearing_takes_a_job_once")]


class ClearingLeftOut(Record):
    """A job of the archive that does not go, or not any more, and why: its details stay, or came back."""

    clearing = models.ForeignKey(Clearing, on_delete=models.PROTECT, related_name="left_out")
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="left_out_of")
    why = models.CharField(max_length=300)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["clearing", "job"], name="job_is_left_out_once"),
            models.CheckConstraint(condition=~Q(why=""), name="left_out_says_why"),
        ]


class ClearingConfirmed(Record):
    """Another owner, or the same one a day later, says yes. The details can come back to the end of ``undo_until``."""

    clearing = models.OneToOneField(Clearing, on_delete=models.PROTECT, related_name="confirmed")
    on = models.DateField("day in the shop")
    undo_until = models.DateField()


class ClearingUndone(Record):
    """It does not happen: called off before it was confirmed, or everything brought back after."""

    clearing = models.OneToOneField(Clearing, on_delete=models.PROTECT, related_name="undone")
    on = models.DateField("day in the shop")
    why = models.CharField(max_length=200)

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="undoing_says_why")]


class ClearingDone(Record):
    """The owner cleared it: what was put away is gone."""

    clearing = models.OneToOneField(Clearing, on_delete=models.PROTECT, related_name="done")
    on = models.DateField("day in the shop")


class Tombstone(Final):
    """One detail that was taken off its row: which, for which clearing, the seal of what stood there, and the SHA-256
    of what stands there now. Long things (facts, PDF, photos) keep their plain SHA-256 on their own rows."""

    clearing = models.ForeignKey(Clearing, on_delete=models.PROTECT, related_name="tombstones")
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="tombstones")
    of_table = models.CharField("table", max_length=60)
    of_row = models.PositiveIntegerField("row")
    of_column = models.CharField("column", max_length=40)
    sealed = models.CharField("SHA-256 of salt and what stood there", max_length=64)
    stays_sha256 = models.CharField("SHA-256 of what stands there now", max_length=64)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["clearing", "of_table", "of_row", "of_column"], name="detail_is_cleared_once"
            )
        ]
        indexes = [models.Index(fields=["of_table", "of_row", "of_column"], name="tombstones_by_place")]


class PutAway(models.Model):
    """A detail between confirming and clearing: hidden from every page, list and export, and not yet gone."""

    tombstone = models.OneToOneField(
        Tombstone, on_delete=models.PROTECT, primary_key=True, related_name="put_away"
    )
    content = models.BinaryField("what stood there, as bytes")
    stays = models.BinaryField("what stands there now, as bytes")
    salt = models.CharField(max_length=32)
