"""Put containers right: two cans that were taken for each other, a cylinder that is mixed."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.forms import MixedForm, SwapForm
from inventory.queries import containers, likely_swaps, usual_scale
from inventory.services import mark_mixed, swap_cans
from shop.http import SignedInRequest, now, written
from shop.models import Equipment
from shop.permissions import EVERYONE, OWNER, TECHNICIAN, open_to
from shop.queries import in_service


@open_to(*EVERYONE)
def swap(request: SignedInRequest) -> HttpResponse:
    """Two cans side by side; the book follows the scale when the one gained what the other lost."""
    shop, at = request.user.establishment, now()
    day = timezone.localdate(at)
    heavier = request.GET.get("heavier", "").replace("\0", "")[:24]
    lighter = request.GET.get("lighter", "").replace("\0", "")[:24]
    begin = {"heavier": heavier, "lighter": lighter, "scale": usual_scale(shop, "can")}
    scales = in_service(shop, day, Equipment.Kind.SCALE)
    form = SwapForm(request.POST or None, shop=shop, scales=scales, initial=begin)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            slip = swap_cans(form.swap(), on=day, at=at, by=request.user)
            said = {"number": slip.number, "lighter": slip.lighter, "heavier": slip.heavier}
            messages.success(request, _("Slip %(number)s puts %(lighter)s and %(heavier)s right.") % said)
            return reverse("containers:page", args=[slip.heavier.code])

        if answer := written(request, form, write):
            return answer
    suspects = likely_swaps(shop, heavier) if heavier else ()
    return render(request, "inventory/containers/swap.html", {"form": form, "suspects": suspects})


@open_to(TECHNICIAN, OWNER)
def mixed(request: SignedInRequest, code: str) -> HttpResponse:
    """From a moment on nobody knows what this cylinder holds."""
    cylinder = get_object_or_404(containers(request.user.establishment), pk=code, kind="cylinder")
    at = now()
    form = MixedForm(request.POST or None, initial={"since": at})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            typed = form.cleaned_data
            mark_mixed(cylinder, since=typed["since"], why=typed["why"], at=at, by=request.user)
            messages.success(request, _("%(code)s is marked as mixed.") % {"code": code})
            return reverse("containers:page", args=[code])

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/containers/mixed.html", {"form": form, "container": cylinder})
