"""Counts with their differences; the opening one is signed in ``opening``."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from inventory.queries import (
    count_before,
    count_sums,
    counts,
    earlier_differences,
    last_count_of,
    limit_of,
    paused_counts,
)
from inventory.services import drop_count
from shop.http import SignedInRequest, now, write_once
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, open_to

PAGE = 50


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    made = counts(request.user.establishment)[:PAGE]
    rows = [(count, count_sums(count)) for count in made]
    paused = paused_counts(request.user.establishment)
    return render(request, "inventory/counts/list.html", {"rows": rows, "paused": paused})


@open_to(*EVERYONE)
def page(request: SignedInRequest, pk: int) -> HttpResponse:
    count = get_object_or_404(counts(request.user.establishment), pk=pk)
    earlier = earlier_differences(count)
    sums = [
        (
            one,
            earlier.get(one.refrigerant, []),
            limit_of(count, count_before(count, one.refrigerant), one.refrigerant),
        )
        for one in count_sums(count)
    ]
    openings = [
        (one, last_count_of(count.establishment, one.refrigerant, before=count))
        for one, _earlier, _limit in sums
    ]
    notes = count.difference_notes.select_related("by")
    shown = {"count": count, "sums": sums, "openings": openings, "notes": notes}
    return render(request, "inventory/counts/page.html", shown)


@open_to(FRONT_OFFICE, OWNER)
def drop(request: SignedInRequest, pk: int) -> HttpResponse:
    """Throw an unfinished count away."""
    draft = get_object_or_404(paused_counts(request.user.establishment), pk=pk)
    if request.method == "POST":

        def write() -> str:
            drop_count(draft, at=now(), by=request.user)
            messages.success(request, _("The unfinished count is dropped. Nothing was booked."))
            return reverse("cabinet")

        return write_once(request, write)
    return render(request, "inventory/counts/drop.html", {"draft": draft})
