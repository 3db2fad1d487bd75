"""What was brought in from spreadsheets."""

from __future__ import annotations

from django.db.models import QuerySet

from inventory.models import Import
from shop.models import Establishment


def imports(establishment: Establishment) -> QuerySet[Import]:
    """Every import, the newest first, with how it was undone."""
    rows = Import.objects.filter(establishment=establishment)
    return rows.select_related("by", "count", "undone__by")
