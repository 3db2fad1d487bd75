"""What a hose set keeps for itself, measured: one can fills it three times and is weighed."""

from __future__ import annotations

from itertools import pairwise

from django.db import models
from django.db.models import Q

from inventory.core.hose import HoseResult
from inventory.models.book import Entry
from inventory.models.containers import Container, WeighTicket
from shop.core.mass import Mass
from shop.fields import MassField
from shop.models import Establishment
from shop.records import Record


class HoseMeasure(Record):
    """Three fillings of one hose set. Each weight is a weigh ticket of the can, as typed; what the can lost was
    recovered into ``cylinder``, and the book moved it there. The owner may adopt the result as the shop's rule."""

    class Left(models.TextChoices):
        VAPOUR = "vapour", "vapour (can upright)"
        LIQUID = "liquid", "liquid (can upside down)"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    number = models.CharField(max_length=16)
    hoses = models.CharField("hose set", max_length=30)
    left = models.CharField("how a charge ends here", max_length=8, choices=Left.choices)
    can = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="hose_measures")
    cylinder = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="+")
    before = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="+")
    first = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="+")
    second = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="+")
    third = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="+")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="hose_measure")
    allowance = MassField()
    give_or_take = MassField()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["establishment", "number"], name="hose_measure_number_is_given_once"
            ),
            models.CheckConstraint(
                condition=Q(allowance__gt=0) & Q(give_or_take__gt=0), name="hose_measure_weighs_something"
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def refrigerant(self) -> str:
        return self.can.refrigerant_id

    @property
    def tickets(self) -> tuple[WeighTicket, ...]:
        return self.before, self.first, self.second, self.third

    @property
    def result(self) -> HoseResult:
        """As it was signed."""
        weights = [ticket.gross for ticket in self.tickets]
        fillings = tuple(one - other for one, other in pairwise(weights))
        return HoseResult(fillings, self.allowance, self.give_or_take)

    @property
    def drawn(self) -> Mass:
        """What the can gave in all."""
        return self.before.gross - self.third.gross
