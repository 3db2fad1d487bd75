"""Cans that came damaged or go back, and what is owed for them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.forms import CreditForm, DamageForm, ReturnForm
from inventory.models import ReturnSlip
from inventory.queries import cans_of, deposits_out, may_go_back, return_slips, usual_scale
from inventory.services import add_credit, add_deposit_back, note_damage, return_cans
from inventory.views.deliveries import delivery_of, page_of
from shop.http import SignedInRequest, now, written
from shop.models import Equipment
from shop.permissions import FRONT_OFFICE, OWNER, open_to
from shop.queries import in_service


@open_to(FRONT_OFFICE, OWNER)
def damage(request: SignedInRequest, number: str, code: str) -> HttpResponse:
    """What is wrong with a can that came damaged or was found so later."""
    delivery, at = delivery_of(request, number), now()
    can, today = get_object_or_404(cans_of(delivery), pk=code), timezone.localdate(at)
    scales = in_service(request.user.establishment, today, Equipment.Kind.SCALE)
    usual = {"scale": usual_scale(request.user.establishment, "can")}
    form = DamageForm(request.POST or None, scales=scales, initial=usual)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            noted = note_damage(can, form.damage(), today=today, at=at, by=request.user)
            said = _("%(can)s is refused. It never goes on a car.") % {"can": can.code}
            if noted.ticket is not None:
                gone = _("%(mass)s g were gone before our work.") % {"mass": round(noted.lost.grams)}
                said = f"{said} {gone}"
            messages.success(request, said)
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    return render(
        request, "inventory/deliveries/damage.html", {"form": form, "delivery": delivery, "can": can}
    )


@open_to(FRONT_OFFICE, OWNER)
def back(request: SignedInRequest, number: str) -> HttpResponse:
    """Cans of a delivery leave; a return slip is made of it."""
    delivery, at = delivery_of(request, number), now()
    here = may_go_back(delivery)
    first = {
        "on": timezone.localdate(at),
        "to": ReturnSlip.To.SUPPLIER,
        "cans": [can.pk for can in here if hasattr(can, "fate")],
    }
    form = ReturnForm(request.POST or None, cans=here, initial=first)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            slip = return_cans(delivery, form.sent(), today=timezone.localdate(at), at=at, by=request.user)
            messages.success(request, _("Return slip %(slip)s is ready to print.") % {"slip": slip.number})
            return reverse("return-slip", args=[slip.number])

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/deliveries/back.html", {"form": form, "delivery": delivery})


@open_to(FRONT_OFFICE, OWNER)
def credit(request: SignedInRequest, number: str) -> HttpResponse:
    """The supplier's credit for the cans of a return slip."""
    slip, at = get_object_or_404(return_slips(request.user.establishment), number=number), now()
    form = CreditForm(request.POST or None, initial={"dated": timezone.localdate(at)})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            add_credit(slip, form.credit(), today=timezone.localdate(at), at=at, by=request.user)
            messages.success(request, _("The credit is matched with %(slip)s.") % {"slip": slip.number})
            return page_of(slip.delivery)

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "delivery": slip.delivery, "slip": slip}
    return render(request, "inventory/deliveries/credit.html", shown)


@open_to(FRONT_OFFICE, OWNER)
def deposit(request: SignedInRequest, number: str) -> HttpResponse:
    """A deposit or core charge came back."""
    delivery, at = delivery_of(request, number), now()
    form = CreditForm(request.POST or None, initial={"dated": timezone.localdate(at)})
    form.fields["amount"].help_text = ""
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            today = timezone.localdate(at)
            add_deposit_back(delivery, form.credit(), today=today, at=at, by=request.user)
            messages.success(request, _("The deposit is back."))
            return page_of(delivery)

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "delivery": delivery, "out": deposits_out(delivery)}
    return render(request, "inventory/deliveries/credit.html", shown)
