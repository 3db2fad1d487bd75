"""Suppliers: whom the shop buys cans from."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse

from inventory.forms import SupplierForm
from inventory.queries import suppliers
from inventory.services import add_supplier
from shop.http import SignedInRequest, now, written
from shop.permissions import FRONT_OFFICE, OWNER, open_to


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    form, house = SupplierForm(request.POST or None), request.user.establishment
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            added = add_supplier(form.supplier(), house, at=now(), by=request.user)
            messages.success(request, f"{added.name} is on the list.")
            return reverse("deliveries:new")

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/suppliers/new.html", {"form": form, "suppliers": suppliers(house)})
