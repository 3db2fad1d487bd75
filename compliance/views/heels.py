"""Taking out what is in a can: its heel, or all of it where nobody may use it."""

from __future__ import annotations

from datetime import date

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from compliance.forms import EmptyingForm, HeelForm
from compliance.services import empty_unusable, recover_heel
from compliance.services.emptying import is_of_unknown_origin, is_refused
from inventory.models import Container
from inventory.queries import containers, last_ticket
from shop.core.cautions import DAMAGED_CAN, DEFER, EMPTIES, GLOVES, UNKNOWN_GAS
from shop.http import SignedInRequest, now, written
from shop.permissions import OWNER, TECHNICIAN, open_to

EMPTYING = {"cautions": (EMPTIES, GLOVES), "defer": DEFER}


@open_to(TECHNICIAN, OWNER)
def heel(request: SignedInRequest, code: str) -> HttpResponse:
    shop, moment = request.user.establishment, now()
    kin = ("establishment", "can__type", "fate", "given_back")
    can = get_object_or_404(containers(shop).select_related(*kin), pk=code, kind="can")
    day = timezone.localdate(moment)
    if is_refused(can) or is_of_unknown_origin(can):
        return _emptying(request, can, day)
    form = HeelForm(request.POST or None, can=can, today=day)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            recover_heel(can, form.heel(), on=day, at=moment, by=request.user)
            return reverse("containers:page", args=[code])

        if answer := written(request, form, write):
            return answer
    return render(
        request, "compliance/heel.html", {"form": form, "can": can, "last": last_ticket(can)} | EMPTYING
    )


def _emptying(request: SignedInRequest, can: Container, day: date) -> HttpResponse:
    form = EmptyingForm(request.POST or None, can=can, today=day)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            empty_unusable(can, form.emptying(), on=day, at=now(), by=request.user)
            return reverse("containers:page", args=[can.code])

        if answer := written(request, form, write):
            return answer
    refused = is_refused(can)
    said = (UNKNOWN_GAS, *((DAMAGED_CAN,) if refused else ()), GLOVES)
    shown = {"form": form, "can": can, "last": last_ticket(can), "refused": refused, "cautions": said}
    return render(request, "compliance/emptying.html", shown | {"defer": DEFER})
