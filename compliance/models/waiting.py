"""Entries that waited on a device without signal, and those that are kept but count for nothing."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

from django.db import models
from django.db.models import Q

from compliance.models.jobs import Job, Stage
from compliance.models.weighings import CanTicket
from shop.core.phrase import phrase
from shop.core.said import DRIFT, Doubt
from shop.records import Record


class Waited(Record):
    """``at`` is when it was received; the rest is what the device says of the time at which it was typed."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="%(class)ss")
    typed_at = models.DateTimeField("typed at, by the clock of the device", null=True)
    ahead_s = models.BigIntegerField("seconds by which that clock was ahead when last compared", null=True)

    class Meta:
        abstract = True


class SentLater(Waited):
    """A stage or a weigh ticket that was typed without signal. The row's own ``at`` is the time that counts; ``doubt``
    says why that is not the time the device gave."""

    stage = models.OneToOneField(Stage, on_delete=models.PROTECT, null=True, related_name="sent_later")
    row = models.OneToOneField(CanTicket, on_delete=models.PROTECT, null=True, related_name="sent_later")
    doubt = models.CharField(max_length=60, choices=[(one.value, one.value) for one in Doubt], blank=True)

    @property
    def clock_minutes(self) -> int:
        """By how many minutes the device's clock was fast (slow: less than nought), where that is worth a word."""
        ahead = timedelta(seconds=self.ahead_s or 0)
        return round(ahead / timedelta(minutes=1)) if abs(ahead) > DRIFT else 0

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(stage=None) | Q(row=None), name="sent_later_is_one_stage_or_one_ticket"
            )
        ]


class SpareEntry(Waited):
    """What somebody typed that is no part of the job: set aside, or a second entry for what another phone wrote
    meanwhile (``stage`` or ``row``). It is kept as typed and never counts; only a choice can bring it in."""

    path = models.CharField("the form's address", max_length=200)
    as_typed = models.TextField("what was typed, by the names of the fields, as JSON")
    says = models.CharField("the same in words", max_length=300)
    why = models.CharField("why it does not count", max_length=300)
    stage = models.ForeignKey(Stage, on_delete=models.PROTECT, null=True, related_name="rivals")
    row = models.ForeignKey(CanTicket, on_delete=models.PROTECT, null=True, related_name="rivals")

    class Meta:
        ordering = ["pk"]

    @property
    def typed(self) -> dict[str, Any]:
        """What was typed; nothing once it was cleared after its time."""
        try:
            read: dict[str, Any] = json.loads(self.as_typed)
        except ValueError:
            return {}
        return read


class EntryChoice(Record):
    """Which of two entries is true, said by somebody at the car."""

    class Which(models.TextChoices):
        FIRST = "first", phrase("The first is true")
        SECOND = "second", phrase("The second is true")

    spare = models.OneToOneField(SpareEntry, on_delete=models.PROTECT, related_name="choice")
    which = models.CharField(max_length=8, choices=Which.choices)
