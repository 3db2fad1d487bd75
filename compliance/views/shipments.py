"""Shipments of recovered refrigerant: facilities, sending, the receipt."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from compliance.forms.shipments import FacilityForm, ReceiptForm, ShipmentForm
from compliance.services import receive_receipt, send_shipment
from inventory.queries import both_weights, can_be_shipped, facilities, usual_scale
from inventory.queries import shipments as all_shipments
from inventory.services import add_facility
from shop.core.cautions import CYLINDER, DEFER, SHIPPING
from shop.core.findings import Finding, Refused
from shop.http import SignedInRequest, now, write_once, written
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, open_to

WITH_CARE = {"cautions": (SHIPPING, CYLINDER), "defer": DEFER}


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    pages = Paginator(all_shipments(request.user.establishment), 50).get_page(request.GET.get("page"))
    rows = [(one, both_weights(one)) for one in pages]
    return render(request, "compliance/shipments/list.html", {"rows": rows, "pages": pages})


@open_to(*EVERYONE)
def page(request: SignedInRequest, number: str) -> HttpResponse:
    shipment = get_object_or_404(all_shipments(request.user.establishment), number=number)
    papers = shipment.records.select_related("document").defer("document__pdf", "document__facts")
    context = {
        "shipment": shipment,
        "weights": both_weights(shipment),
        "papers": papers.order_by("-document__version"),
    }
    return render(request, "compliance/shipments/page.html", context)


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    house, at = request.user.establishment, now()
    places, cylinders = facilities(house), list(can_be_shipped(house))
    form = ShipmentForm(
        request.POST or None,
        facilities=places,
        cylinders=cylinders,
        day=timezone.localdate(at),
        initial={"scale": usual_scale(house, "cylinder"), "facility": places.last()},
    )
    warnings = list[Finding]()
    if request.method == "POST" and form.is_valid():
        day, seen = timezone.localdate(at), form.answered()

        def write() -> str:
            sent = send_shipment(form.shipment(), house, seen=seen, on=day, at=at, by=request.user)
            messages.success(request, f"{sent.number} is on its way; its record is printed from here.")
            return reverse("shipments:page", args=[sent.number])

        try:
            return write_once(request, write)
        except Refused as refused:
            warnings = form.ask(refused)
    shown = {"form": form, "places": places, "warnings": warnings}
    return render(request, "compliance/shipments/new.html", shown | WITH_CARE)


@open_to(FRONT_OFFICE, OWNER)
def receipt(request: SignedInRequest, number: str) -> HttpResponse:
    shipment = get_object_or_404(all_shipments(request.user.establishment), number=number)
    form = ReceiptForm(request.POST or None, cylinders=shipment.cylinders.all())
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            at = now()
            receive_receipt(shipment, form.receipt(), today=timezone.localdate(at), at=at, by=request.user)
            return reverse("shipments:page", args=[number])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/shipments/receipt.html", {"form": form, "shipment": shipment})


@open_to(FRONT_OFFICE, OWNER)
def new_facility(request: SignedInRequest) -> HttpResponse:
    form = FacilityForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            house, at = request.user.establishment, now()
            add_facility(form.facility(), house, today=timezone.localdate(at), at=at, by=request.user)
            return reverse("shipments:new")

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/shipments/facility.html", {"form": form})
