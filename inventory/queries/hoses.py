"""Reads about measured hose sets."""

from __future__ import annotations

from django.db.models import QuerySet

from inventory.models import Container, HoseMeasure
from inventory.queries.cabinet import in_the_cabinet
from shop.models import Establishment, ShopRule


def hose_measures(establishment: Establishment) -> QuerySet[HoseMeasure]:
    """The shop's measurements with their weights, newest first."""
    tickets = ("before__scale", "first", "second", "third")
    rows = HoseMeasure.objects.filter(establishment=establishment)
    return rows.select_related("can", "cylinder", "by", "establishment", *tickets)


def adopted_on(measure: HoseMeasure) -> ShopRule | None:
    """The shop rule that rests on this measurement, when the owner has adopted it."""
    rules = ShopRule.objects.filter(establishment=measure.establishment, key="hose_allowance_g")
    return rules.filter(basis__startswith=f"{measure.number}:").select_related("by").order_by("pk").last()


def takes_recovered(establishment: Establishment) -> QuerySet[Container]:
    """The cylinders that what was in the hoses may go into; which of them fits the can is the service's question."""
    return in_the_cabinet(establishment).filter(kind="cylinder", mixed=None)


def flammable_cans(establishment: Establishment) -> bool:
    """Whether a can that burns stands on the shelf: which one will be taken is not known before it is typed."""
    return in_the_cabinet(establishment).filter(kind="can", refrigerant__flammable=True).exists()
