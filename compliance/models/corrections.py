"""What is said of a closed job afterwards: correction slips, and the hold that keeps it from being cleared."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from compliance.models.jobs import Job, Stage
from compliance.models.papers import Closing, Document, Link
from inventory.models import Entry, WeighTicket
from shop.models import Establishment, Person
from shop.records import Final, Record


class Correction(Record):
    """One slip: what was wrong on a closed job, why, and who signed that. Nothing that was signed before is edited.

    ``entry`` is what the book moved for it, on the day of the slip; none when no mass changed.
    """

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="corrections")
    number = models.CharField(max_length=16)
    closing = models.ForeignKey(Closing, on_delete=models.PROTECT, related_name="corrections")
    why = models.CharField(max_length=200)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, null=True, related_name="correction")
    facts = models.TextField()
    link = models.OneToOneField(Link, on_delete=models.PROTECT, related_name="correction")
    document = models.OneToOneField(Document, on_delete=models.PROTECT, related_name="correction")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["establishment", "number"], name="correction_number_is_given_once"
            ),
            models.CheckConstraint(condition=~Q(why=""), name="correction_says_why"),
        ]

    def __str__(self) -> str:
        return self.number


class CorrectedField(Final):
    """One thing that a slip puts right: as it stood, as it should have stood, both as typed. The newest holds."""

    correction = models.ForeignKey(Correction, on_delete=models.PROTECT, related_name="fields")
    key = models.CharField("what it is, in the program", max_length=60)
    label = models.CharField("what it is, in words", max_length=120)
    stage = models.ForeignKey(Stage, on_delete=models.PROTECT, null=True, related_name="corrected")
    ticket = models.ForeignKey(WeighTicket, on_delete=models.PROTECT, null=True, related_name="corrected")
    old = models.CharField(max_length=300, blank=True)
    new = models.CharField(max_length=300, blank=True)
    unit = models.CharField("unit of what should have stood", max_length=8, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["correction", "key"], name="slip_corrects_a_thing_once"),
            models.CheckConstraint(condition=~Q(old=models.F("new")), name="correction_changes_something"),
        ]

    @property
    def shown(self) -> str:
        """What should have stood, with its unit."""
        return self.new if self.unit in ("", "lb+oz") else f"{self.new} {self.unit}"


class DoerPutRight(Final):
    """Who did the stage of a corrected field: a person of the shop, or the name of somebody who held no 609 card that
    day. Who wrote the stage down stays on it."""

    field = models.OneToOneField(
        CorrectedField, on_delete=models.PROTECT, primary_key=True, related_name="doer"
    )
    person = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    name = models.CharField("who held no 609 card", max_length=80, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(person=None) ^ Q(name=""), name="doer_is_a_person_or_held_no_card"
            )
        ]


class JobHold(Record):
    """This job, its papers, tickets, cards and equipment are not to be cleared, and why; until a ``JobHoldEnd``."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="holds")
    why = models.CharField(max_length=200)

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="job_hold_says_why")]


class JobHoldEnd(Record):
    """The hold is over, and why."""

    hold = models.OneToOneField(JobHold, on_delete=models.PROTECT, related_name="end")
    why = models.CharField(max_length=200)

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="job_hold_end_says_why")]


class CaseFile(Final):
    """Which job a case file speaks of."""

    document = models.OneToOneField(
        Document, on_delete=models.PROTECT, primary_key=True, related_name="case_file"
    )
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="case_files")
