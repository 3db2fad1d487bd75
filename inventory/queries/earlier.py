"""The shop's own papers from before the book."""

from __future__ import annotations

from django.db.models import QuerySet

from inventory.models import EarlierPaper
from shop.models import Establishment


def earlier_papers(establishment: Establishment, *, whole: bool = False) -> QuerySet[EarlierPaper]:
    """Newest month first; without their bytes unless ``whole``."""
    rows = EarlierPaper.objects.filter(establishment=establishment)
    return rows if whole else rows.defer("content")
