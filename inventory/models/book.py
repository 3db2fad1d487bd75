"""The refrigerant book: entries and their movements, and the months that are closed."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import models
from django.db.models import F, Q

from inventory.core.ledger import Purpose
from inventory.models.containers import Refrigerant
from inventory.models.places import Place
from shop.core.mass import ZERO, Mass
from shop.fields import MassField
from shop.models import Establishment
from shop.records import Final, Record


class Entry(Record):
    """One event of the refrigerant book with its movements. Reversed, never edited."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()
    text = models.CharField(max_length=200)
    reverses = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="reversed_by")

    class Meta:
        ordering = ["on", "pk"]
        indexes = [models.Index(fields=["establishment", "on"])]


class Movements(models.QuerySet["Movement"]):
    def balances(self, codes: Sequence[str]) -> dict[str, Mass]:
        """What each of these places holds: everything that arrived less everything that left."""
        held = dict.fromkeys(codes, ZERO)
        rows = self.filter(models.Q(source__in=codes) | models.Q(target__in=codes)).order_by()
        for source, target, mass in rows.values_list("source_id", "target_id").annotate(
            moved=models.Sum("mass")
        ):
            if target in held:
                held[target] += mass
            if source in held:
                held[source] -= mass
        return held


class Movement(Final):
    """Where mass leaves, where it arrives, how much. Both halves of double entry in one row: never out of balance.

    Day, establishment and the kinds of both places are repeated here so that a period is summed in one scan; a
    trigger keeps them equal to what they repeat.
    """

    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="movements")
    source = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="leaving")
    target = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="arriving")
    mass = MassField()
    purpose = models.CharField(max_length=16, choices=[(purpose.value, purpose.value) for purpose in Purpose])
    refrigerant = models.ForeignKey(Refrigerant, on_delete=models.PROTECT, related_name="+")
    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()
    source_kind = models.CharField(max_length=20)
    target_kind = models.CharField(max_length=20)

    objects = Movements.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(mass__gt=0), name="movement_has_mass"),
            models.CheckConstraint(condition=~Q(source=F("target")), name="movement_goes_somewhere"),
            models.CheckConstraint(
                condition=Q(purpose__in=[purpose.value for purpose in Purpose]),
                name="movement_has_a_known_purpose",
            ),
        ]
        indexes = [
            models.Index(
                fields=[
                    "establishment",
                    "on",
                    "refrigerant",
                    "purpose",
                    "source_kind",
                    "target_kind",
                    "mass",
                ],
                name="movement_by_day",
            ),
            models.Index(fields=["source", "mass"], name="movement_leaving"),
            models.Index(fields=["target", "mass"], name="movement_arriving"),
        ]


class MonthBalance(Final):
    """Everything that ever moved up to the end of a closed month, by refrigerant, purpose and kinds of place.

    Made when a signed report closes its months; a closed month takes no more entries, so the sum stays true.
    """

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    last_day = models.DateField()
    refrigerant = models.ForeignKey(Refrigerant, on_delete=models.PROTECT, related_name="+")
    purpose = models.CharField(max_length=16)
    source_kind = models.CharField(max_length=20)
    target_kind = models.CharField(max_length=20)
    mass = MassField()
    movements = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["establishment", "last_day", "refrigerant", "purpose", "source_kind", "target_kind"],
                name="month_balance_is_made_once",
            )
        ]


class MonthClose(Record):
    """The months up to this day are closed for one shop."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    last_day = models.DateField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["establishment", "last_day"], name="month_is_closed_once"),
        ]
