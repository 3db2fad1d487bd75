"""Recovery cylinders, taken into the book with their stamps."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from inventory.forms import CylinderForm
from inventory.services import add_cylinder
from shop.http import SignedInRequest, now, written
from shop.permissions import FRONT_OFFICE, OWNER, open_to


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    form = CylinderForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        house, at = request.user.establishment, now()

        def write() -> str:
            added = add_cylinder(form.cylinder(), house, on=timezone.localdate(at), at=at, by=request.user)
            messages.success(request, f"Cylinder {added.code} is in the book.")
            return reverse("containers:page", args=[added.code])

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/cylinders/new.html", {"form": form})
