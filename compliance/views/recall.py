"""Recall: which vehicles got refrigerant of a lot, and where its cans are now."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from compliance.queries.recall import Recall, recall
from shop.http import SignedInRequest
from shop.permissions import EVERYONE, open_to

LONGEST = 40  # of a lot


@open_to(*EVERYONE)
def page(request: SignedInRequest) -> HttpResponse:
    """One lot, named by ``?lot=``; without one the box to name it."""
    lot = lot_asked(request)
    found = recall(request.user.establishment, lot) if lot else None
    address, name = _came_from(request, found)
    shown = {"lot": lot, "recall": found, "back": address, "back_name": name}
    return render(request, "compliance/find/recall.html", shown)


def _came_from(request: SignedInRequest, found: Recall | None) -> tuple[str, str]:
    """The can whose page named the lot (``?can=``), what was looked for (``?q=``), else Records."""
    can, words = request.GET.get("can", ""), request.GET.get("q", "").replace("\0", "")[:LONGEST]
    if found is not None and any(one.container.code == can for one in found.cans):
        return reverse("containers:page", args=[can]), can
    if words:
        return reverse("find", query={"q": words}), f"{_('Find')}: {words}"
    return reverse("records"), _("Records")


def lot_asked(request: SignedInRequest) -> str:
    return " ".join(request.GET.get("lot", "").replace("\0", "").split())[:LONGEST]
