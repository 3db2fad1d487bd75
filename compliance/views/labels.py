"""Labels for cans and cylinders: which to print, and the sheet itself."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from compliance.forms.labels import LabelForm
from compliance.queries.labels import sheets_of
from compliance.services.labels import door_pdf, label_pdf
from inventory.models import Delivery, LabelSheet
from inventory.queries import cans_of, counts
from inventory.services import print_labels
from shop.http import SignedInRequest, now, written
from shop.permissions import EVERYONE, open_to


@open_to(*EVERYONE)
def new(request: SignedInRequest) -> HttpResponse:
    house = request.user.establishment
    form = LabelForm(request.POST or None, house=house, initial={"containers": _asked_for(request)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            said = form.cleaned_data
            sheet = print_labels(
                said["containers"], said["stock"], house, skip=said["skip"] or 0, at=now(), by=request.user
            )
            return reverse("labels:page", args=[sheet.pk])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/labels/new.html", {"form": form, "sheets": sheets_of(house)})


@open_to(*EVERYONE)
def page(request: SignedInRequest, pk: int) -> HttpResponse:
    sheet = get_object_or_404(LabelSheet, establishment=request.user.establishment, pk=pk)
    return render(request, "compliance/labels/page.html", {"sheet": sheet, "labels": sheet.labels.all()})


@open_to(*EVERYONE)
def pdf(request: SignedInRequest, pk: int) -> HttpResponse:
    sheet = get_object_or_404(LabelSheet, establishment=request.user.establishment, pk=pk)
    name = f"labels-{sheet.pk}.pdf"
    return HttpResponse(
        label_pdf(sheet),
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"', "X-Content-Type-Options": "nosniff"},
    )


@open_to(*EVERYONE)
def door(request: SignedInRequest) -> HttpResponse:
    """The sheet for the cabinet's door, as the book has it now."""
    return HttpResponse(
        door_pdf(request.user.establishment, at=now()),
        content_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="door.pdf"', "X-Content-Type-Options": "nosniff"},
    )


def _asked_for(request: SignedInRequest) -> str:
    """The numbers that the form begins with: one container's, or those of a delivery or of an opening count."""
    counted = request.GET.get("count", "")[:16]
    if counted.isdecimal():
        count = get_object_or_404(counts(request.user.establishment), pk=int(counted), opening=True)
        return " ".join(line.container_id for line in count.lines.all())
    number = request.GET.get("delivery", "")[:16]
    if not number:
        return request.GET.get("container", "")[:24]
    delivery = get_object_or_404(Delivery, establishment=request.user.establishment, number=number)
    return " ".join(can.code for can in cans_of(delivery) if not hasattr(can, "fate"))
