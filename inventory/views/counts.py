"""Counts: the opening one, and the regular ones with their differences."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from inventory.forms import CountForm, OpeningForm
from inventory.queries import (
    container_types,
    count_before,
    count_sums,
    counts,
    earlier_differences,
    limit_of,
    shelves,
    usual_scale,
)
from inventory.services import CountIn, open_cabinet, record_count
from shop.core.findings import Refused
from shop.http import SignedInRequest, now, show_refusal, write_once, written
from shop.models import Equipment
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, open_to
from shop.queries import in_service

PAGE = 50


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    made = counts(request.user.establishment)[:PAGE]
    rows = [(count, count_sums(count)) for count in made]
    return render(request, "inventory/counts/list.html", {"rows": rows})


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
    notes = count.difference_notes.select_related("by")
    return render(request, "inventory/counts/page.html", {"count": count, "sums": sums, "notes": notes})


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    """Count what is in the cabinet today. "Add up" shows what was counted so far; signing writes it."""
    house, at = request.user.establishment, now()
    on_hand, today = shelves(house), timezone.localdate(at)
    scales = in_service(house, today, Equipment.Kind.SCALE)
    usual = {"scale": usual_scale(house, "can"), "cylinder_scale": usual_scale(house, "cylinder")}
    form = CountForm(request.POST or None, shelves=on_hand, scales=scales, initial=usual)
    shown: dict[str, Any] = {"form": form}
    if request.method == "POST" and form.is_valid():
        shown["added_up"] = True
        if request.POST.get("do") == "sign" and form.is_whole():

            def write() -> str:
                made = record_count(CountIn(today, form.answers()), house, at=at, by=request.user)
                messages.success(request, "The count is signed. Differences are booked as differences.")
                return reverse("counts:page", args=[made.pk])

            try:
                return write_once(request, write)
            except Refused as refused:
                shown = {"form": form}
                show_refusal(form, refused)
    return render(request, "inventory/counts/new.html", shown)


@open_to(FRONT_OFFICE, OWNER)
def opening(request: SignedInRequest) -> HttpResponse:
    """Number the sealed cans that stood in the cabinet before the book."""
    house, at = request.user.establishment, now()
    more = request.POST.get("do") == "more"
    form = OpeningForm(request.POST or None, more=more)
    if request.method == "POST" and not more and form.is_valid():

        def write() -> str:
            today = timezone.localdate(at)
            made = open_cabinet(form.stock(), house, on=today, at=at, by=request.user)
            messages.success(request, "The cans have their numbers. Write them on the cans now.")
            return reverse("counts:page", args=[made.pk])

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "has_types": container_types().exists()}
    return render(request, "inventory/counts/opening.html", shown)
