"""What the hoses keep: measured in ten minutes by whoever charges, adopted as the shop's rule by its owner."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.core.hose import result_answer
from inventory.forms import AdoptForm, HoseForm
from inventory.models import HoseMeasure
from inventory.queries import adopted_on, flammable_cans, hose_measures, usual_scale
from inventory.services import adopt_hose_measure, measure_hoses
from shop.http import SignedInRequest, now, written
from shop.models import Equipment
from shop.permissions import EVERYONE, OWNER, TECHNICIAN, open_to
from shop.queries import in_service, rules_on


def _measure(request: SignedInRequest, number: str) -> HoseMeasure:
    return get_object_or_404(hose_measures(request.user.establishment), number=number)


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    shop = request.user.establishment
    rules = rules_on(shop, timezone.localdate(now()))
    return render(request, "inventory/hoses/list.html", {"measures": hose_measures(shop), "rules": rules})


@open_to(*EVERYONE)
def page(request: SignedInRequest, number: str) -> HttpResponse:
    measure = _measure(request, number)
    shown = {"measure": measure, "answer": result_answer(measure.result), "rule": adopted_on(measure)}
    return render(request, "inventory/hoses/page.html", shown)


@open_to(TECHNICIAN, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    """The steps with their boxes, signed once all four weights are there."""
    shop, at = request.user.establishment, now()
    day = timezone.localdate(at)
    scales = in_service(shop, day, Equipment.Kind.SCALE)
    begin = {"scale": usual_scale(shop, "can")}
    form = HoseForm(request.POST or None, shop=shop, scales=scales, initial=begin)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            measure = measure_hoses(form.measured(), on=day, at=at, by=request.user)
            messages.success(request, _("%(number)s is signed.") % {"number": measure.number})
            return reverse("hoses:page", args=[measure.number])

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "burns": flammable_cans(shop)}
    return render(request, "inventory/hoses/new.html", shown)


@open_to(OWNER)
def adopt(request: SignedInRequest, number: str) -> HttpResponse:
    """Make the measurement the shop's rule, from a day on."""
    measure, at = _measure(request, number), now()
    today = timezone.localdate(at)
    form = AdoptForm(request.POST or None, initial={"from_day": today})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            from_day = form.cleaned_data["from_day"]
            adopt_hose_measure(measure, from_day=from_day, today=today, at=at, by=request.user)
            messages.success(request, _("%(number)s is the shop's rule.") % {"number": number})
            return reverse("hoses:page", args=[number])

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "measure": measure, "answer": result_answer(measure.result)}
    return render(request, "inventory/hoses/adopt.html", shown)
