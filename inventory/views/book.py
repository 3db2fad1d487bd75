"""The refrigerant book: every gram, newest first."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from inventory.models import Refrigerant
from inventory.queries import book
from shop.http import SignedInRequest
from shop.permissions import EVERYONE, open_to

PAGE = 50


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    """A page of movements, of one refrigerant or of all; ``?before=`` is the last key of the page before it."""
    refrigerants = [one.code for one in Refrigerant.objects.all()]
    rows, before = book(request.user.establishment), request.GET.get("before", "")
    chosen = next((code for code in refrigerants if code == request.GET.get("refrigerant")), "")
    if chosen:
        rows = rows.filter(refrigerant=chosen)
    if before.isdecimal() and len(before) < 19:
        rows = rows.filter(pk__lt=int(before))
    found = list(rows[: PAGE + 1])
    shown = {
        "rows": found[:PAGE],
        "older": found[PAGE - 1].pk if len(found) > PAGE else None,
        "chosen": chosen,
        "is_newest": not before,
        "refrigerants": refrigerants,
    }
    return render(request, "inventory/book/list.html", shown)
