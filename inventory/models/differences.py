"""What was said about a count's difference, and what was decided about a scale that did not pass."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.containers import Refrigerant
from inventory.models.counts import Count
from shop.fields import MassField
from shop.models import Check
from shop.records import Record


class DifferenceNote(Record):
    """A count's difference of one refrigerant was looked at and left as a difference. It moves nothing."""

    count = models.ForeignKey(Count, on_delete=models.PROTECT, related_name="difference_notes")
    refrigerant = models.ForeignKey(Refrigerant, on_delete=models.PROTECT, related_name="+")
    left = MassField("the difference as it was left")
    note = models.CharField(max_length=300)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(note=""), name="difference_note_says_something"),
        ]


class DoubtSettled(Record):
    """What the owner decided about the weigh tickets that a failed check of their scale put in doubt."""

    class Decided(models.TextChoices):
        SOUND = "sound", "They stand: the scale is off by the same everywhere, differences are sound"
        WEIGHED_AGAIN = "weighed again", "They stand: what mattered was weighed again on a good scale"
        KNOWN_WRONG = "known wrong", "They are off: corrections were or will be made"

    check_failed = models.OneToOneField(Check, on_delete=models.PROTECT, related_name="settled")
    decided = models.CharField(max_length=16, choices=Decided.choices)
    why = models.CharField(max_length=300)

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="settled_doubt_says_why")]
