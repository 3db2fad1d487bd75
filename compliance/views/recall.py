"""Recall: which vehicles got refrigerant of a lot, and where its cans are now."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from compliance.queries.recall import recall
from shop.http import SignedInRequest
from shop.permissions import EVERYONE, open_to

LONGEST = 40  # of a lot


@open_to(*EVERYONE)
def page(request: SignedInRequest) -> HttpResponse:
    """One lot, named by ``?lot=``; without one the box to name it."""
    lot = lot_asked(request)
    found = recall(request.user.establishment, lot) if lot else None
    return render(request, "compliance/find/recall.html", {"lot": lot, "recall": found})


def lot_asked(request: SignedInRequest) -> str:
    return " ".join(request.GET.get("lot", "").replace("\0", "").split())[:LONGEST]
