"""What happens to a job that does not run straight: a leak found, somebody else's hands, the wrong can."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from compliance.models.jobs import Job, Stage
from compliance.models.weighings import CanTicket
from inventory.models import Container, WeighTicket
from shop.core.phrase import phrase
from shop.models import Person
from shop.records import Final, Record


class CustomerChoice(Record):
    """What the customer said when something was found: who answered, how, and to whom."""

    class What(models.TextChoices):
        REPAIR = "repair", phrase("Repair it")
        DECLINE = "decline", phrase("Declined")
        LATER = "later", phrase("Thinks about it")

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="choices")
    what = models.CharField(max_length=12, choices=What.choices)
    who = models.CharField("who answered", max_length=80)
    how = models.CharField(max_length=40)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]


class HandOver(Record):
    """The job goes on under another person's hands; each stage keeps its own name."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="hand_overs")
    to = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    note = models.CharField(max_length=200)

    class Meta:
        ordering = ["pk"]


class UncertifiedWork(Final):
    """This stage was done by somebody who holds no 609 card. Whoever signed the stage wrote it down, no more."""

    stage = models.OneToOneField(
        Stage, on_delete=models.PROTECT, primary_key=True, related_name="uncertified"
    )
    name = models.CharField(max_length=80)


class LightCan(Final):
    """A sealed can that was lighter than a full one, and which it was: filled short, or leaked on our shelf."""

    class Why(models.TextChoices):
        SHORT = "short", phrase("It came short from the supplier")
        LEAKED = "leaked", phrase("It leaked here")

    row = models.OneToOneField(CanTicket, on_delete=models.PROTECT, primary_key=True, related_name="light")
    why = models.CharField(max_length=8, choices=Why.choices)


class Mischarge(Record):
    """A can of another refrigerant that went into the car by mistake, weighed before and after."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="mischarges")
    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="+")
    before = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="mischarge_before")
    after = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="mischarge_after")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(before=F("after")), name="mischarge_is_two_weighings")
        ]
