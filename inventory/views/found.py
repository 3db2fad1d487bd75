"""A can with no number found in a drawer: numbered, weighed, and looked at by the owner before any car gets it."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.forms import AcceptForm, FoundForm
from inventory.models import FoundCan
from inventory.queries import found_cans, shelves, usual_scale
from inventory.services import accept_found, find_can
from shop.core.findings import Finding, Refused
from shop.http import SignedInRequest, now, write_once, written
from shop.models import Equipment
from shop.permissions import EVERYONE, OWNER, open_to
from shop.queries import in_service

SHOWING = {
    "Cache-Control": "private, no-store",
    "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
}


@open_to(*EVERYONE)
def new(request: SignedInRequest) -> HttpResponse:
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    scales = in_service(house, today, Equipment.Kind.SCALE)
    sent = request.method == "POST"
    usual = {"scale": usual_scale(house, "can")}
    form = FoundForm(*((request.POST, request.FILES) if sent else ()), scales=scales, initial=usual)
    warnings: list[Finding] = []
    if sent and form.is_valid():

        def write() -> str:
            found = find_can(form.found(), house, seen=form.answered(), on=today, at=at, by=request.user)
            words = _(
                "It is %(code)s now. Write the number on it. No car gets it before the owner accepts it."
            )
            messages.success(request, words % {"code": found.container_id})
            return reverse("containers:page", args=[found.container_id])

        try:
            return write_once(request, write)
        except Refused as refused:
            warnings = form.ask(refused)
    missing = [can for shelf in shelves(house) for can in shelf.missing]
    shown = {
        "form": form,
        "warnings": warnings,
        "missing": missing,
        "waiting": found_cans(house).filter(accepted=None),
    }
    return render(request, "inventory/containers/found.html", shown)


@open_to(OWNER)
def accept(request: SignedInRequest, code: str) -> HttpResponse:
    found = _found(request, code)
    form = AcceptForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            accept_found(found, why=form.cleaned_data["why"], at=now(), by=request.user)
            messages.success(request, _("%(code)s may go on a car.") % {"code": code})
            return reverse("containers:page", args=[code])

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/containers/accept.html", {"form": form, "found": found})


@open_to(*EVERYONE)
def photo(request: SignedInRequest, code: str) -> HttpResponse:
    found = _found(request, code)
    if not found.jpeg:
        raise Http404("it has no photo")
    name = {"Content-Disposition": f'inline; filename="{code}.jpg"'}
    return HttpResponse(bytes(found.jpeg), content_type="image/jpeg", headers=SHOWING | name)


def _found(request: SignedInRequest, code: str) -> FoundCan:
    return get_object_or_404(found_cans(request.user.establishment), container=code)
