"""Other programs that are told what happened: who listens, what was told, each letter and each try to send it."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from shop.core.outgoing import LONGEST_URL, TRIAL, What, subject
from shop.models.shop import Establishment, Person
from shop.records import Final, Record

EVENTS = [*(what.value for what in What), TRIAL]


class Listener(Record):
    """A program that is told, and what. Its secret is kept nowhere: it is made of ``seed`` and the signing key of
    the installation (``shop.services.outgoing``); the hash tells when that key has become another one."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="listeners")
    name = models.CharField(max_length=60)
    url = models.CharField(max_length=LONGEST_URL)
    job_closed = models.BooleanField("a job was closed")
    report_signed = models.BooleanField("a usage report was signed")
    stock_low = models.BooleanField("full cans run low")
    seed = models.CharField(max_length=43)
    secret_sha256 = models.CharField("SHA-256 of the secret", max_length=64)

    waiting: int  # letters, annotated by ``shop.queries.listeners``
    dead: int

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(job_closed=True) | Q(report_signed=True) | Q(stock_low=True),
                name="listener_is_told_something",
            )
        ]

    def __str__(self) -> str:
        return self.name


class ListenerEnd(Record):
    """The program is told nothing any more."""

    listener = models.OneToOneField(Listener, on_delete=models.PROTECT, related_name="end")


class News(Final):
    """Something that happened, written in the transaction in which it happened. ``by`` is empty for what nobody did,
    such as stock that has become low."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    event = models.CharField(max_length=20, choices=[(event, event) for event in EVENTS])
    facts = models.TextField()
    at = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(event__in=EVENTS), name="news_is_of_a_known_kind")]

    @property
    def subject(self) -> str:
        return subject(self.facts)


class Letter(Final):
    """One piece of news for one listener. ``key`` is its name outside: the same however often it is sent."""

    news = models.ForeignKey(News, on_delete=models.PROTECT, related_name="letters")
    listener = models.ForeignKey(Listener, on_delete=models.PROTECT, related_name="letters")
    key = models.CharField(max_length=32, unique=True)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["news", "listener"], name="listener_gets_one_letter_of_it")
        ]


class LetterTry(Final):
    """One try to send a letter. ``status`` is the answer's number, empty when none came; ``error`` says why."""

    letter = models.ForeignKey(Letter, on_delete=models.PROTECT, related_name="tries")
    number = models.PositiveSmallIntegerField()
    at = models.DateTimeField()
    took_ms = models.PositiveIntegerField("how long it took, milliseconds")
    taken = models.BooleanField("the listener took it")
    status = models.PositiveSmallIntegerField(null=True)
    answer = models.CharField("the beginning of the answer", max_length=200, blank=True)
    error = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["letter", "number"], name="letter_try_is_counted_once")
        ]


class LetterAgain(Record):
    """Somebody had a dead letter sent again; its tries begin anew."""

    letter = models.ForeignKey(Letter, on_delete=models.PROTECT, related_name="again")

    class Meta:
        ordering = ["pk"]


class LetterDue(models.Model):
    """A letter that was not taken yet; no record, it goes when it was. Without ``at`` it is dead: given up until
    somebody has it sent again. ``held_until`` keeps other senders away while one tries; a sender that was killed lets
    go by that."""

    letter = models.OneToOneField(Letter, on_delete=models.CASCADE, primary_key=True, related_name="due")
    at = models.DateTimeField("goes out", null=True)
    tries = models.PositiveSmallIntegerField("tries that failed since it was last begun", default=0)
    held_until = models.DateTimeField(null=True)

    class Meta:
        ordering = ["at", "pk"]
        indexes = [models.Index(fields=["at"], name="letters_by_due")]
