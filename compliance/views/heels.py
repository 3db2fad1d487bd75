"""The heel of an emptied can."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from compliance.forms import HeelForm
from compliance.services import recover_heel
from inventory.queries import containers, last_ticket
from shop.core.cautions import DEFER, EMPTIES, GLOVES
from shop.http import SignedInRequest, now, written
from shop.permissions import OWNER, TECHNICIAN, open_to

EMPTYING = {"cautions": (EMPTIES, GLOVES), "defer": DEFER}


@open_to(TECHNICIAN, OWNER)
def heel(request: SignedInRequest, code: str) -> HttpResponse:
    shop, moment = request.user.establishment, now()
    can = get_object_or_404(
        containers(shop).select_related("establishment", "can__type"), pk=code, kind="can"
    )
    day = timezone.localdate(moment)
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
