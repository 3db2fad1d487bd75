"""When full cans of a refrigerant ran low, and when there were enough again."""

from __future__ import annotations

from django.db import models

from inventory.models.containers import Refrigerant
from shop.models import Establishment
from shop.records import Final


class StockMark(Final):
    """From this look on the full cans of a refrigerant were low, or enough again. The newest of each holds. Nobody
    signs it: it is what the book said by itself."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    refrigerant = models.ForeignKey(Refrigerant, on_delete=models.PROTECT, related_name="+")
    low = models.BooleanField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
