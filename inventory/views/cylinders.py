"""Recovery cylinders, taken into the book with their stamps, and checked for air."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.core.air_check import CONDITIONS
from inventory.forms import AirCheckForm, CylinderForm
from inventory.queries import containers
from inventory.services import add_cylinder, check_for_air
from shop.core.conditions import conditions
from shop.core.findings import Finding, Refused
from shop.http import SignedInRequest, now, write_once, written
from shop.permissions import FRONT_OFFICE, OWNER, TECHNICIAN, open_to
from shop.queries import rules_on


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    form, warnings = CylinderForm(request.POST or None), list[Finding]()
    if request.method == "POST" and form.is_valid():
        house, at, seen = request.user.establishment, now(), form.answered()
        day = timezone.localdate(at)

        def write() -> str:
            added = add_cylinder(form.cylinder(), house, seen=seen, on=day, at=at, by=request.user)
            messages.success(request, f"Cylinder {added.code} is in the book.")
            return reverse("containers:page", args=[added.code])

        try:
            return write_once(request, write)
        except Refused as refused:
            warnings = form.ask(refused)
    return render(request, "inventory/cylinders/new.html", {"form": form, "warnings": warnings})


@open_to(TECHNICIAN, OWNER)
def air(request: SignedInRequest, code: str) -> HttpResponse:
    """Pressure and temperature at rest: is there air, or another refrigerant, in this cylinder?"""
    mine = containers(request.user.establishment).filter(kind="cylinder", fate=None, mixed=None)
    cylinder = get_object_or_404(mine.select_related("cylinder"), pk=code)
    at = now()
    day = timezone.localdate(at)
    form = AirCheckForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            check_for_air(cylinder, form.check(), on=day, at=at, by=request.user)
            messages.success(request, _("%(code)s is checked for air.") % {"code": code})
            return reverse("containers:page", args=[code])

        if answer := written(request, form, write):
            return answer
    here = conditions(rules_on(request.user.establishment, day))
    shown = {"form": form, "container": cylinder, "how": CONDITIONS, "air": here.air_said}
    return render(request, "inventory/cylinders/air.html", shown)
