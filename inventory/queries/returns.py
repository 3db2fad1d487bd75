"""Reads about cans that were refused or sent back, and what is still owed for them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch, QuerySet

from inventory.models import Container, Credit, Delivery, Deposit, Fate, ReturnedCan, ReturnSlip
from inventory.queries.invoices import deposits_out
from shop.models import Establishment


def return_slips(establishment: Establishment) -> QuerySet[ReturnSlip]:
    cans = Prefetch("cans", ReturnedCan.objects.select_related("container__can__type"))
    rows = ReturnSlip.objects.filter(establishment=establishment).select_related("delivery__supplier", "by")
    return rows.prefetch_related(cans, "cans__container__damages", "cans__container__lots", "credits__by")


def without_credit(establishment: Establishment, *, up_to: date) -> QuerySet[ReturnSlip]:
    """Return slips up to a day for which no credit came."""
    return return_slips(establishment).filter(credits=None, on__lte=up_to).order_by("on", "pk")


def refused_here(establishment: Establishment) -> QuerySet[Container]:
    """Refused cans that have not left: they stand somewhere outside."""
    cans = Container.objects.filter(
        establishment=establishment, fate__what=Fate.What.REFUSED, given_back=None
    )
    cans = cans.exclude(delivered__line__delivery__undone__isnull=False)
    return cans.select_related("delivered__line__delivery", "fate").prefetch_related("damages").order_by("pk")


def may_go_back(delivery: Delivery) -> QuerySet[Container]:
    """Cans of a delivery that can be on a return slip: refused ones first, then those in use."""
    cans = Container.objects.filter(delivered__line__delivery=delivery, given_back=None, spoken_for=None)
    here = cans.filter(fate=None) | cans.filter(fate__what=Fate.What.REFUSED)
    return here.select_related("fate", "can__type").order_by("fate", "pk")


@dataclass(frozen=True, slots=True)
class DepositOut:
    """A delivery's deposits that have not come back, and the first day on which one is due."""

    delivery: Delivery
    cents: int
    due: date


def deposits_due(establishment: Establishment, *, up_to: date) -> list[DepositOut]:
    """Deposits whose day has come and that are still out."""
    rows = Deposit.objects.filter(
        invoice__replaced_by=None, invoice__supplier__establishment=establishment, due_back__lte=up_to
    ).order_by("due_back")
    found: dict[int, DepositOut] = {}
    for deposit in rows.prefetch_related("invoice__deliveries"):
        delivery = deposit.invoice.deliveries.all()[0]
        out = deposits_out(delivery)
        if out > 0 and deposit.due_back is not None:
            found.setdefault(delivery.pk, DepositOut(delivery, out, deposit.due_back))
    return list(found.values())


def deposits_back(delivery: Delivery) -> QuerySet[Credit]:
    return delivery.credits.filter(slip=None).select_related("by")
