"""Places: anywhere refrigerant can be."""

from __future__ import annotations

from django.db import models

from inventory.core.ledger import PlaceKind


class Place(models.Model):
    """Anywhere refrigerant can be. The code is the key, so that the raw book reads like prose."""

    code = models.CharField(primary_key=True, max_length=24)
    kind = models.CharField(max_length=20, choices=[(kind.value, kind.value) for kind in PlaceKind])

    def __str__(self) -> str:
        return self.code
