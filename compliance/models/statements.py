"""Equipment statements (40 CFR 82.42(a)): when they were sent, the proof, and those of which no copy is left."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from compliance.models.papers import Document
from shop.core.phrase import phrase
from shop.models import CardImage, Equipment, Establishment
from shop.records import Record

REGION = Q(region__gte=1) & Q(region__lte=10)


class RegionAddress(Record):
    """Where a Region takes statements, as the owner read it on the agency's own site on that day."""

    establishment = models.ForeignKey(
        Establishment, on_delete=models.PROTECT, related_name="region_addresses"
    )
    region = models.PositiveSmallIntegerField()
    address = models.CharField(max_length=300)
    confirmed_on = models.DateField()

    class Meta:
        ordering = ["confirmed_on", "pk"]
        constraints = [models.CheckConstraint(condition=REGION, name="address_is_of_one_of_ten_regions")]


class StatementSent(Record):
    """A signed statement left the shop: the day, how, and the address as it was confirmed."""

    class How(models.TextChoices):
        MAIL = "mail", phrase("Mail")
        CERTIFIED = "certified mail", phrase("Certified mail")
        COURIER = "courier", phrase("Courier")
        ELECTRONIC = "electronic", phrase("Email or the agency's own form")
        BY_HAND = "by hand", phrase("Handed over")

    document = models.ForeignKey(Document, on_delete=models.PROTECT, related_name="sendings")
    on = models.DateField()
    how = models.CharField(max_length=16, choices=How.choices)
    tracking = models.CharField("tracking number", max_length=60, blank=True)
    region = models.PositiveSmallIntegerField()
    address = models.CharField(max_length=300)
    address_confirmed_on = models.DateField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=REGION, name="statement_went_to_one_of_ten_regions"),
            models.CheckConstraint(condition=~Q(how="") & ~Q(address=""), name="sent_says_how_and_where"),
        ]


class StatementProof(Record):
    """Proof that a statement arrived or was handed in: a receipt, a delivery card, an answer."""

    sent = models.ForeignKey(StatementSent, on_delete=models.PROTECT, related_name="proofs")
    media = models.CharField(max_length=16, choices=CardImage.Media.choices)
    content = models.BinaryField()
    sha256 = models.CharField("SHA-256", max_length=64)
    size = models.PositiveIntegerField("bytes")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["sent", "sha256"], name="proof_is_kept_once")]


class EarlierStatement(Record):
    """The owner states that a statement for this machine was sent before; no copy of it is left."""

    equipment = models.ForeignKey(Equipment, on_delete=models.PROTECT, related_name="earlier_statements")
    when = models.CharField("when, as far as it is known", max_length=60)
    where = models.CharField("where to, as far as it is known", max_length=200, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=~Q(when=""), name="earlier_statement_says_when")]
