"""Files that were put together and handed out: archives of old records, monthly copies, packs for a buyer."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models import Count
from shop.models import Establishment
from shop.records import Final, Record


class KeepChoice(Record):
    """Whether the shop keeps everything for ever; the newest choice holds. Without one the rules' years count."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="keep_choices")
    for_ever = models.BooleanField()
    why = models.CharField(max_length=200)

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="keep_choice_says_why")]


class Package(Record):
    """One set of files that was made: its hashes, how many files, who and when. ``day`` is the day that an archive
    was reckoned for, the first of a monthly copy's month, or the day of a sale."""

    class Kind(models.TextChoices):
        ARCHIVE = "archive", "Archive of old records"
        BUNDLE = "monthly copy", "Monthly copy"
        HAND_OVER = "hand-over pack", "Hand-over pack"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="packages")
    kind = models.CharField(max_length=16, choices=Kind.choices)
    day = models.DateField()
    sha256 = models.CharField(
        "SHA-256 of the ZIP; empty when a folder was written", max_length=64, blank=True
    )
    manifest_sha256 = models.CharField("SHA-256 of its manifest", max_length=64)
    files = models.PositiveIntegerField()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(manifest_sha256="") & Q(files__gt=0), name="package_holds_files"
            ),
            models.CheckConstraint(
                condition=~Q(kind="monthly copy") | Q(day__day=1), name="monthly_copy_is_of_a_month"
            ),
            models.CheckConstraint(condition=Q(kind="monthly copy") | ~Q(sha256=""), name="zip_has_its_hash"),
        ]
        indexes = [models.Index(fields=["establishment", "kind", "-day"], name="packages_by_kind")]


class Archived(Final):
    """One old record that an archive holds."""

    package = models.ForeignKey(Package, on_delete=models.PROTECT, related_name="archived")
    kind = models.CharField("kind of record", max_length=20)
    key = models.CharField("its number", max_length=80)
    anchor = models.DateField("day that its years were counted from")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["package", "kind", "key"], name="archive_holds_a_record_once")
        ]


class SalePack(Final):
    """What a hand-over pack was made for: the buyer, the closing count, and whether customers' details are in it."""

    package = models.OneToOneField(Package, on_delete=models.PROTECT, primary_key=True, related_name="sale")
    buyer = models.CharField(max_length=160)
    count = models.ForeignKey(Count, on_delete=models.PROTECT, related_name="+")
    with_customers = models.BooleanField("seller and buyer agreed that customers' details go along")

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(buyer=""), name="sale_names_its_buyer")]
