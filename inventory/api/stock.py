"""What is on hand by refrigerant, as the Cabinet page says it."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from rest_framework import serializers

from inventory.models import Container
from inventory.queries import low_stock, shelves
from shop.api.base import Shows, reads
from shop.api.fields import MassOut, NamesOf
from shop.core.scopes import Scope
from shop.http import now
from shop.permissions import EVERYONE


class ShelfOut(serializers.Serializer[Any]):
    """One refrigerant: cans of it, and recovery cylinders, by the book."""

    refrigerant = serializers.CharField()
    sealed = serializers.IntegerField(help_text="Cans that were never weighed open.")
    open = serializers.IntegerField()
    in_cans = MassOut()
    give_or_take_g = serializers.IntegerField(
        source="doubt_g", help_text="How far that may be off by shells that were only estimated."
    )
    cylinders = NamesOf("code")
    in_cylinders = MassOut()
    not_found = NamesOf("code", source="missing", help_text="Cans that the last count did not find.")
    low = serializers.BooleanField(help_text="The sealed cans do not last two usual weeks.")


class StockOut(serializers.Serializer[Any]):
    """What is in the cabinet now."""

    on = serializers.DateField()
    shelves = ShelfOut(many=True)


class Stock(Shows):
    """What is on hand, by refrigerant."""

    opens = reads(EVERYONE, Scope.CABINET_READ)
    gives = StockOut
    model = Container

    def thing(self) -> Any:
        today, here = timezone.localdate(now()), shelves(self.house)
        low = {one.refrigerant for one in low_stock(self.house, today, here)}
        names = (
            "refrigerant",
            "sealed",
            "open",
            "in_cans",
            "doubt_g",
            "cylinders",
            "in_cylinders",
            "missing",
        )
        told = [
            {name: getattr(one, name) for name in names} | {"low": one.refrigerant in low} for one in here
        ]
        return {"on": today, "shelves": told}
