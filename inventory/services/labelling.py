"""Printing labels: which containers got one, and whether it is a reprint."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from inventory.core.stock import STOCKS
from inventory.models import Container, Label, LabelSheet
from shop.core.findings import blocked, refuse_if_blocked
from shop.models import Establishment, Person

MOST = 600


@transaction.atomic
def print_labels(
    containers: Sequence[Container],
    stock: str,
    establishment: Establishment,
    *,
    skip: int = 0,
    at: datetime,
    by: Person,
) -> LabelSheet:
    """Note which labels are printed. A container that had one before gets a reprint, and its label says so."""
    found = []
    if stock not in STOCKS:
        found.append(blocked("stock-unknown", "Choose the size of the labels from the list.", "stock"))
    elif not 0 <= skip < STOCKS[stock].on_a_page:
        sentence = f"A sheet has {STOCKS[stock].on_a_page} labels. Type how many of them are used up already."
        found.append(blocked("skip-absurd", sentence, "skip"))
    if not 1 <= len(containers) <= MOST:
        found.append(blocked("labels-none", f"Name 1 to {MOST} cans or cylinders.", "containers"))
    refuse_if_blocked(found)
    had_one = set(Label.objects.filter(container__in=containers).values_list("container", flat=True))
    sheet = LabelSheet.objects.create(establishment=establishment, stock=stock, skip=skip, at=at, by=by)
    Label.objects.bulk_create(
        [Label(sheet=sheet, container=one, again=one.pk in had_one) for one in containers]
    )
    return sheet
