"""Kinds of can: what is printed on them, and what they weigh when empty."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse

from inventory.forms import TypeForm
from inventory.queries import container_types
from inventory.services import add_container_type
from shop.http import SignedInRequest, now, written
from shop.permissions import FRONT_OFFICE, OWNER, open_to


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    form = TypeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            kind = add_container_type(form.kind(), at=now(), by=request.user)
            messages.success(request, f"{kind} is on the list.")
            return reverse("deliveries:new")

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/types/new.html", {"form": form, "types": container_types()})
