"""The opening count: what stood in the cabinet before the book."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.forms import OpeningForm
from inventory.queries import container_types, usual_scale
from inventory.services import open_cabinet
from shop.http import SignedInRequest, now, written
from shop.models import Equipment
from shop.permissions import FRONT_OFFICE, OWNER, open_to
from shop.queries import in_service


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    """Number the cans that are there already: sealed ones by their labels, open ones by weight."""
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    scales = in_service(house, today, Equipment.Kind.SCALE)
    more = request.POST.get("do") == "more"
    begin = {"scale": usual_scale(house, "can") or scales.first()}
    form = OpeningForm(request.POST or None, more=more, scales=scales, initial=begin)
    if request.method == "POST" and not more and form.is_valid():

        def write() -> str:
            made = open_cabinet(form.stock(), house, on=today, at=at, by=request.user)
            messages.success(request, _("The cans have their numbers. Write them on the cans now."))
            return reverse("counts:page", args=[made.pk])

        if answer := written(request, form, write):
            return answer
    shown = {
        "form": form,
        "has_types": container_types().exists(),
        "has_scale": scales.exists(),
        "today": today,
    }
    return render(request, "inventory/counts/opening.html", shown)
