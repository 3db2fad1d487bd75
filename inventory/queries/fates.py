"""Reads about how containers end: empties to dispose of, cans that were found."""

from __future__ import annotations

from django.db.models import Q, QuerySet

from inventory.core.ledger import PlaceKind
from inventory.models import Container, Fate, FoundCan
from inventory.queries.cabinet import containers
from shop.core.mass import grams
from shop.models import Establishment

LOOKED_AT = grams(60)  # open cans with more by the book are no empties; the largest heel limit a shop may set


def empties(establishment: Establishment) -> QuerySet[Container]:
    """Cans whose heel was recovered and that are still here, and open ones with at most a heel by the book."""
    cans = containers(establishment).filter(kind=PlaceKind.CAN, disposal=None)
    emptied = Q(fate__what=Fate.What.EMPTIED)
    nearly = Q(fate=None, last_text__isnull=False, book__lte=LOOKED_AT)
    kin = ("can__type", "fate", "disposal", "establishment")
    return cans.filter(emptied | nearly).select_related(*kin).order_by("pk")


def found_cans(establishment: Establishment) -> QuerySet[FoundCan]:
    """Cans that turned up without a number."""
    mine = FoundCan.objects.filter(container__establishment=establishment)
    return mine.select_related("container__can__type", "by", "accepted__by").order_by("pk")
