"""Which weigh tickets belong to a job, and which was put right by which."""

from __future__ import annotations

from django.db import models

from compliance.models.jobs import Job
from inventory.models import WeighTicket
from shop.records import Record


class CanTicket(Record):
    """One weighing of one can on one job. A can's draw is its first ticket less its last."""

    class Moment(models.TextChoices):
        BEFORE = "before", "Before"
        LEAK_TEST = "leak test", "After the leak-test charge"
        AFTER = "after", "After"

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="can_tickets")
    ticket = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="on_job")
    moment = models.CharField(max_length=12, choices=Moment.choices)
    sealed = models.BooleanField("seal unbroken before this weighing")
    emptied = models.BooleanField("empty now", default=False)
    hands = models.CharField(
        "charged by, when that was somebody without a 609 card", max_length=80, blank=True
    )

    class Meta:
        ordering = ["pk"]


class Retyping(Record):
    """A ticket of an open job typed again: the old number is kept out of sight, but kept."""

    old = models.OneToOneField(CanTicket, on_delete=models.PROTECT, related_name="retyped")
    new = models.OneToOneField(CanTicket, on_delete=models.PROTECT, related_name="stands_for")
