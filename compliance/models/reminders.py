"""What was said by e-mail, so that it is not said twice."""

from __future__ import annotations

from django.db import models

from shop.models import Establishment
from shop.records import Final


class Reminder(Final):
    """One line of one e-mail. The cause stays the same as long as the thing is the same, and is told once."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    cause = models.CharField(max_length=120)
    text = models.CharField(max_length=300)
    to = models.EmailField()
    on = models.DateField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "cause"], name="reminder_is_sent_once"),
        ]
