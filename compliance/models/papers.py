"""Closings and documents: facts, bytes, hash, kept for ever, in one chain for each shop."""

from __future__ import annotations

from django.db import models

from compliance.models.jobs import Job
from inventory.models import Entry, Shipment
from shop.models import Establishment
from shop.records import Final, Record


class Link(Record):
    """One link of a shop's chain: its hash covers the one before it and the bytes of what it stands for."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    place = models.PositiveIntegerField("place in the chain")
    before = models.CharField("hash before", max_length=64)
    body = models.TextField()
    hash = models.CharField(max_length=64)

    class Meta:
        ordering = ["establishment", "place"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "place"], name="chain_place_is_taken_once"),
            models.UniqueConstraint(fields=["establishment", "before"], name="chain_does_not_fork"),
        ]


class Closing(Record):
    """The technician's signature under a job. The job is closed because this row exists."""

    job = models.OneToOneField(Job, on_delete=models.PROTECT, related_name="closing")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="closing")
    charged = models.BooleanField()
    on = models.DateField("day of the work")
    facts = models.TextField()
    link = models.OneToOneField(Link, on_delete=models.PROTECT, related_name="closing")

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["on"], name="closing_by_day")]


class Document(Record):
    """One version of one paper. ``replaces`` names the version it takes the place of."""

    class Kind(models.TextChoices):
        CERTIFICATE = "certificate", "Service certificate"
        USAGE_REPORT = "usage report", "Usage report"
        SHIPMENT = "shipment", "Shipment record"
        STATEMENT = "equipment statement", "Equipment statement"
        CASE_FILE = "case file", "Case file"
        BINDER = "inspection binder", "Inspection binder"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="documents")
    kind = models.CharField(max_length=20, choices=Kind.choices)
    number = models.CharField(max_length=20)
    version = models.PositiveSmallIntegerField(default=1)
    dated = models.DateField()
    facts = models.TextField()
    pdf = models.BinaryField()
    facts_sha256 = models.CharField(max_length=64)
    pdf_sha256 = models.CharField(max_length=64)
    why = models.CharField("why this version was made", max_length=300, blank=True)
    replaces = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="replaced_by")
    link = models.OneToOneField(Link, on_delete=models.PROTECT, related_name="document")

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["establishment", "number", "version"], name="document_version_is_issued_once"
            )
        ]
        indexes = [models.Index(fields=["establishment", "kind", "-id"], name="documents_newest_first")]

    def __str__(self) -> str:
        return self.number if self.version == 1 else f"{self.number} version {self.version}"

    @property
    def fingerprint(self) -> str:
        return self.facts_sha256[:12]


class Withdrawal(Record):
    """A document that nobody should rely on any more."""

    document = models.OneToOneField(Document, on_delete=models.PROTECT, related_name="withdrawal")
    why = models.CharField(max_length=200)


class Certificate(Final):
    """Which closing a service certificate speaks of."""

    document = models.OneToOneField(
        Document, on_delete=models.PROTECT, primary_key=True, related_name="certificate"
    )
    closing = models.ForeignKey(Closing, on_delete=models.PROTECT, related_name="certificates")


class ShipmentRecord(Final):
    """Which shipment a shipment record speaks of."""

    document = models.OneToOneField(
        Document, on_delete=models.PROTECT, primary_key=True, related_name="shipment_record"
    )
    shipment = models.ForeignKey(Shipment, on_delete=models.PROTECT, related_name="records")


class UsageReport(Final):
    """Which days a usage report speaks of."""

    document = models.OneToOneField(
        Document, on_delete=models.PROTECT, primary_key=True, related_name="usage_report"
    )
    first = models.DateField()
    last = models.DateField()
