"""Which state's and which local packs a shop works under, and what was answered to their lists."""

from __future__ import annotations

from datetime import date

from django.db import models

from compliance.models.jobs import Job
from shop.models import Establishment
from shop.records import Record


class PackChoices(models.QuerySet["PackChoice"]):
    def on(self, establishment: Establishment, day: date) -> PackChoice | None:
        """What was chosen last for a day."""
        return self.filter(establishment=establishment, from_day__lte=day).last()


class PackChoice(Record):
    """From this day the shop works under this state's rules and these local ones; the federal pack always holds."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="pack_choices")
    state = models.CharField("state, two letters", max_length=2)
    local = models.CharField("local packs, by id", max_length=120, blank=True)
    from_day = models.DateField()

    objects = PackChoices.as_manager()

    class Meta:
        ordering = ["from_day", "pk"]
        indexes = [models.Index(fields=["establishment", "from_day"], name="pack_choice_by_day")]
        constraints = [
            models.CheckConstraint(condition=~models.Q(state=""), name="pack_choice_names_a_state")
        ]

    @property
    def local_ids(self) -> list[str]:
        return [one for one in self.local.split(",") if one]


class PackAnswer(Record):
    """What was answered to one item of a pack's list, or that a customer was told. The newest answer holds."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="pack_answers")
    code = models.CharField("the rule's code", max_length=40)
    item = models.CharField(max_length=300)
    answer = models.CharField(max_length=20)
    reason = models.CharField("why, or how the customer was told", max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
