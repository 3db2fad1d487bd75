"""A visit by somebody who asks for the records: who, what for, what was shown and copied, what is owed, when it ended.

40 CFR 82.42(b)(5) asks a shop to let an authorised representative in who shows credentials. The slip is the shop's own.
"""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from shop.models import Establishment, Person
from shop.records import Record


class Visit(Record):
    """Somebody came; ``at`` is the time they came in. It runs until a ``VisitEnd`` exists."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="visits")
    number = models.CharField(max_length=16)
    name = models.CharField("their name", max_length=80)
    agency = models.CharField(max_length=120)
    credentials = models.BooleanField("credentials were seen")
    why = models.CharField("here for", max_length=200)
    host = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="visits_hosted")

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "number"], name="visit_number_is_given_once")
        ]

    def __str__(self) -> str:
        return self.number


class VisitShown(Record):
    """One thing that was shown, or that the visitor opened with the pass."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="shown")
    what = models.CharField(max_length=200)
    address = models.CharField("page of ours", max_length=200, blank=True)
    by_pass = models.BooleanField("opened by the visitor", default=False)

    class Meta:
        ordering = ["pk"]


class VisitCopy(Record):
    """One copy that was handed over."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="copies")
    what = models.CharField(max_length=200)
    pages = models.PositiveSmallIntegerField(null=True)

    class Meta:
        ordering = ["pk"]


class VisitQuestion(Record):
    """A question that the shop owes an answer to."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="questions")
    question = models.CharField(max_length=300)
    due = models.DateField("answer owed by")

    class Meta:
        ordering = ["pk"]


class VisitEnd(Record):
    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="end")
    note = models.CharField(max_length=300, blank=True)


class VisitPass(Record):
    """A way in for the visitor, to read only: the SHA-256 of its code, the days it shows, the instant it ends by
    itself."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="passes")
    digest = models.CharField(max_length=64, unique=True)
    first = models.DateField()
    last = models.DateField()
    until = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(first__lte=F("last")), name="pass_days_are_in_order"),
            models.CheckConstraint(condition=Q(until__gt=F("at")), name="pass_ends_after_it_begins"),
        ]


class VisitPassEnd(Record):
    """Ended by hand before its time."""

    visit_pass = models.OneToOneField(VisitPass, on_delete=models.PROTECT, related_name="end")
