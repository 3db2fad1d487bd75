"""The visitor's pass as the shop gives it and ends it."""

from __future__ import annotations

from django import forms
from django.conf import settings
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from compliance.forms.visits import NIGHT, PassForm
from compliance.models import VisitPass
from compliance.services.visits import end_pass, give_pass
from compliance.views.binder import usual
from compliance.views.visits import visit_of
from shop.http import SignedInRequest, now, written
from shop.pdf.qr import qr_svg_box, qr_svg_path
from shop.permissions import FRONT_OFFICE, OWNER, open_to


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest, number: str) -> HttpResponse:
    """A pass; its address is on the answer only. Sent twice, the second answer leads back to the slip."""
    visit, moment = visit_of(request, number), timezone.localtime(now())
    today = moment.date()
    form = PassForm(request.POST or None, initial=usual(today) | {"until": NIGHT})
    context = {"form": form, "visit": visit}
    if request.method == "POST" and form.is_valid():
        codes: list[str] = []

        def write() -> str:
            days, until = form.period(), form.ends(today)
            codes.append(give_pass(visit, days, until=until, today=today, at=moment, by=request.user)[1])
            return reverse("visits:page", args=[visit.number])

        answer = written(request, form, write)
        if codes:
            address = settings.SITE_URL + reverse("visitor:enter", args=codes)
            context |= {"address": address, "box": qr_svg_box(address), "qr": qr_svg_path(address)}
        elif answer is not None:
            return answer
    return render(request, "compliance/visits/pass.html", context)


@open_to(FRONT_OFFICE, OWNER)
def end(request: SignedInRequest, pk: int) -> HttpResponse:
    mine = VisitPass.objects.filter(visit__establishment=request.user.establishment).select_related("visit")
    visit_pass = get_object_or_404(mine, pk=pk)
    form = forms.Form(request.POST or None)
    if request.method == "POST":

        def write() -> str:
            end_pass(visit_pass, at=now(), by=request.user)
            return reverse("visits:page", args=[visit_pass.visit.number])

        form = forms.Form(request.POST)
        if form.is_valid() and (answer := written(request, form, write)):
            return answer
    return render(request, "compliance/visits/end_pass.html", {"form": form, "visit": visit_pass.visit})
